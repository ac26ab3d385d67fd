'use strict';
// The map for another array, demand or share of winters, and the search in the table. Without this script the page
// shows the first of them, and every line of the table.
const data = JSON.parse(document.getElementById('data').textContent);
const by = id => document.getElementById(id);
const combination = by('combination'), share = by('share'), search = by('search');
const dots = [...document.querySelectorAll('.dot')];
const rows = [...document.querySelectorAll('.stations tbody tr')];
const texts = rows.map(row => row.textContent.toLowerCase());
const station = row => row.id.split('-')[1];

function redraw() {
  const c = combination.value || '0', s = Number(share.value);
  for (const dot of dots) {
    const answer = data[dot.dataset.station][Number(c)];
    const words = dot.getAttribute('aria-label').replace(/: [^:]*$/, '') + ': ' + answer.texts[s];
    dot.setAttribute('aria-label', words);
    dot.querySelector('title').textContent = words;
    dot.querySelector('use').setAttribute('href', '#mark-' + answer.marks[s]);
    dot.setAttribute('href', `#station-${dot.dataset.station}-${c}`);
  }
  for (const name of document.querySelectorAll('.combination-name')) name.hidden = name.dataset.c !== c;
  by('share-name').textContent = share.selectedOptions[0].textContent;
  find();
}

function find() {
  const c = combination.value || '0';
  const words = search.value.toLowerCase().split(/\s+/).filter(Boolean);
  const found = new Set();
  rows.forEach((row, i) => {
    const fits = row.dataset.c === c && words.every(word => texts[i].includes(word));
    row.hidden = !fits;
    if (fits) found.add(station(row));
  });
  for (const dot of dots) dot.classList.toggle('dim', !found.has(dot.dataset.station));
  by('found').textContent = `${found.size} of ${Object.keys(data).length} stations`;
}

// A mark leads to its line, also if a search hides it.
function go(event) {
  const row = by(event.currentTarget.getAttribute('href').slice(1));
  if (row.hidden) {
    search.value = '';
    find();
  }
  row.focus();
}

for (const dot of dots) dot.addEventListener('click', go);
combination.addEventListener('change', redraw);
share.addEventListener('change', redraw);
search.addEventListener('input', find);
by('controls').hidden = by('search-line').hidden = false;
redraw();
