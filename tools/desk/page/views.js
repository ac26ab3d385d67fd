// The views below the answer: checks, report, one key varied, the file as text.
import {download, element, fileName} from './dom.js';
import {answerTable} from './answer_table.js';
import {figures} from './figures.js';
import {typed} from './sheet.js';

export function checksView(check) {
  const rows = check.checks.flatMap(c => [element('tr', {},
    element('th', {scope: 'row'}, c.title), element('td', {className: c.verdict}, c.waived ? `${c.verdict}, accepted: ${c.waived}` : c.verdict),
    element('td', {}, c.value_text), element('td', {}, c.limit_text),
    element('td', {}, [c.detail, c.change].filter(t => t).join(' ')))]);
  return [element('h3', {}, 'Do the nameplates fit?'),
    element('div', {className: 'scroll', tabIndex: 0, role: 'region', 'aria-label': 'Checks'},
      element('table', {className: 'checks'}, element('thead', {}, element('tr', {}, ...['check', 'verdict', 'this design', 'limit', 'remark'].map(t =>
        element('th', {scope: 'col'}, t)))), element('tbody', {}, ...rows))),
    ...check.notes.map(n => element('p', {className: 'note'}, n))];
}

// `make` answers {page} or throws.
export function reportView(make, name) {
  const state = element('p', {role: 'status'});
  const frame = element('iframe', {title: 'Report', hidden: true, sandbox: 'allow-scripts allow-modals'});
  const saved = element('button', {type: 'button', hidden: true}, 'Save report');
  const field = (words, type = 'text') => element('label', {}, words + ' ', element('input', {type, name: words}));
  const form = element('form', {className: 'tools', onsubmit: async event => {
    event.preventDefault();
    state.textContent = 'The report is being made.';
    const value = words => form.elements[words].value;
    const made = await make({firm: value('Your firm'), customer: value('Customer'), valid_until: value('Valid until')});
    if (made.error) return void (state.textContent = made.error);
    state.textContent = 'This is the report of the design at this moment. After a change, make it again.';
    frame.srcdoc = made.answer.page;
    frame.hidden = saved.hidden = false;
    saved.onclick = () => download(name + '.html', made.answer.page, 'text/html');
  }}, field('Your firm'), field('Customer'), field('Valid until', 'date'), element('button', {}, 'Make the report'));
  return [element('h3', {}, 'Which page does the customer get?'), form, state, element('p', {}, saved), frame];
}

const number = /^([\d.]+)( [^"]*)?$/;

// `run` answers a year for one value of a key, or {error}.
export function varyView(keys, run, us) {
  const numeric = keys.map(k => ({...k, value: typed(k.value)})).filter(k => number.test(k.value));
  const state = element('p', {role: 'status'});
  const out = element('div');
  const saved = element('button', {type: 'button', hidden: true}, 'Save table (CSV)');
  const key = element('select', {name: 'key', onchange: suggest}, ...numeric.map(k => element('option', {value: k.key}, k.key)));
  const field = (words, name, type = 'text') => element('label', {}, words + ' ', element('input', {name, type, required: true, size: 8, autocomplete: 'off'}));
  const form = element('form', {className: 'tools', onsubmit: vary}, element('label', {}, 'Key ', key), field('from', 'low'), field('to', 'high'),
    field('values', 'steps'), element('button', {}, 'Run'));
  function suggest() {
    const [, value, unit] = numeric.find(k => k.key === key.value).value.match(number);
    form.elements.low.value = +(value / 2).toPrecision(3) + (unit ?? '');
    form.elements.high.value = +(value * 2).toPrecision(3) + (unit ?? '');
    form.elements.steps.value = 7;
  }
  async function vary(event) {
    event.preventDefault();
    const read = text => text.trim().match(/^([\d.]+)\s*(.*)$/);
    const low = read(form.elements.low.value), high = read(form.elements.high.value), steps = +form.elements.steps.value;
    if (!low || !high || low[2] !== high[2]) return void (state.textContent = '“from” and “to” are numbers with the same unit, such as 5 kWh and 20 kWh.');
    if (!(steps >= 2 && steps <= 100 && Number.isInteger(steps))) return void (state.textContent = '“values” is the number of rows: 2 to 100.');
    const values = Array.from({length: steps}, (_, i) => +(+low[1] + (high[1] - low[1]) * i / (steps - 1)).toPrecision(6) + (low[2] ? ' ' + low[2] : ''));
    const rows = [];
    for (const value of values) {
      state.textContent = `${rows.length} of ${steps}`;
      rows.push([value, await run(key.value, value)]);
    }
    state.textContent = `${key.value}: the typical year with each value`;
    const text = ([value, year]) => [value, ...year.error ? [year.error] : figures.map(f => f.show(f.of(year.answer), us))];
    const head = [key.value, ...figures.map(f => f.label)];
    out.replaceChildren(answerTable('Varied key', head, rows.map(text)));
    saved.hidden = false;
    const quoted = t => `"${String(t).replaceAll('"', '""')}"`;
    saved.onclick = () => download(`${key.value}.csv`, [head, ...rows.map(text)].map(r => r.map(quoted).join(',')).join('\n') + '\n', 'text/csv');
  }
  if (numeric.some(k => k.key === 'battery.capacity')) key.value = 'battery.capacity';
  if (numeric.length > 0) suggest();
  return [element('h3', {}, 'What does it change if one key varies?'), form, state, out, element('p', {}, saved)];
}

export function textView(path, text, use) {
  const area = element('textarea', {value: text, rows: 30, spellcheck: false, id: 'file-text'});
  const wrong = element('p', {className: 'wrong', role: 'alert'});
  return [element('h3', {}, 'The scenario file as text'), element('label', {htmlFor: 'file-text'}, fileName(path)), area, wrong,
    element('p', {}, element('button', {type: 'button', onclick: async () => {
      wrong.textContent = await use(area.value);
    }}, 'Use this text'))];
}
