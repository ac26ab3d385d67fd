// The report on paper. The print dialog prints a whole page, so the report takes the place of the page while it is open.

/** A made report: the document of its frame, in which its script has drawn the plots. */
export interface Paper {
  frame: Document;
}

/** Puts the report in the place of the page; returns what takes it away again. */
export function putOnPaper({frame}: Paper, page: Document = document): () => void {
  // Its script draws the plots for the width of the paper.
  frame.defaultView!.dispatchEvent(new Event('beforeprint'));
  const own = [...page.querySelectorAll('style')];
  own.forEach(style => { style.media = 'screen'; });
  const style = page.createElement('style');
  style.media = 'print';
  style.textContent = `${[...frame.querySelectorAll('style')].map(s => s.textContent).join('\n')}\n@media print { body > :not(#paper) { display: none !important; } }`;
  const paper = page.createElement('div');
  paper.id = 'paper';
  paper.append(...[...frame.body.children].filter(e => e.localName !== 'script').map(e => page.importNode(e, true)));
  page.head.append(style);
  page.body.append(paper);
  frame.defaultView!.dispatchEvent(new Event('afterprint'));
  return () => {
    style.remove();
    paper.remove();
    own.forEach(s => { s.media = ''; });
  };
}
