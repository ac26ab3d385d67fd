// Finds text that nobody can read: cut off at an edge, or printed over other text. Runs inside the page.
export function unreadable() {
  const found = [];
  const name = text => `"${text.trim().slice(0, 40)}"`;
  const is_over = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 2 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 4;
  const compare = (list, where) => {
    list.sort((a, b) => a.box.top - b.box.top);
    list.forEach((a, i) => {
      for (let k = i + 1; k < list.length && list[k].box.top < a.box.bottom; ++k)
        if (list[k].node !== a.node && is_over(a.box, list[k].box)) found.push(`${where}: ${name(a.text)} over ${name(list[k].text)}`);
    });
  };

  for (const svg of document.querySelectorAll('.chart svg')) {
    const where = svg.closest('.chart').id, edge = svg.getBoundingClientRect();
    const texts = [...svg.querySelectorAll('text')].filter(t => t.textContent.trim() && t.getAttribute('visibility') !== 'hidden')
        .map(node => ({node, text: node.textContent, box: node.getBoundingClientRect()})).filter(t => t.box.width > 0);
    for (const t of texts)
      if (t.box.left < edge.left - 1 || t.box.right > edge.right + 1 || t.box.top < edge.top - 1 || t.box.bottom > edge.bottom + 1) found.push(`${where}: ${name(t.text)} is cut off`);
    compare(texts, where);
  }

  const texts = [], range = document.createRange();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const element = node.parentElement;
    if (!node.textContent.trim() || element.closest('svg, script, style, .sr, details:not([open]) > :not(summary), .chart')) continue;
    range.selectNodeContents(node);
    const clips = [];
    for (let e = element; e !== document.body; e = e.parentElement) if (getComputedStyle(e).overflowX !== 'visible') clips.push(e.getBoundingClientRect());
    for (const box of range.getClientRects()) {
      if (box.width === 0) continue;
      const text = node.textContent;
      if (box.left < -0.5 || box.right > innerWidth + 0.5) found.push(`page: ${name(text)} is cut off`);
      if (clips.some(c => box.left < c.left - 0.5 || box.right > c.right + 0.5)) found.push(`page: ${name(text)} is off its frame`);
      texts.push({node, text, box});
    }
  }
  compare(texts, 'page');
  return found;
}

// Puts one text over another and one half off the page, for the finder to find.
export function plant_unreadable() {
  for (const [left, text] of [[20, 'planted text'], [24, 'planted over it'], [innerWidth - 30, 'planted at the edge']]) {
    const e = document.createElement('div');
    e.textContent = text;
    e.style.cssText = `position:absolute;top:10px;left:${left}px;white-space:nowrap`;
    document.body.append(e);
  }
}
