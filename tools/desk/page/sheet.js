// The design sheet: every key of the scenario under its station, in the order of a visit on site.
import {element} from './dom.js';

// Tables of a scenario by station; one that stands nowhere here gets a station of its own name.
const stations = [
  ['Site and requirements', ['title', 'place', 'question', 'elevation', 'units', 'parts', 'required']],
  ['Water used', ['demand', 'use', 'trough']],
  ['Well and pump', ['well', 'aquifer', 'pump', 'motor', 'drive', 'pipe', 'friction', 'pump_gate']],
  ['Tank and cistern', ['tank', 'cistern', 'booster']],
  ['Cable and controls', ['cable', 'wiring', 'check']],
  ['Other loads', ['load']],
  ['Inverter and charger', ['inverter', 'charger']],
  ['Battery', ['battery']],
  ['Array', ['array', 'controller']],
  ['Grid, generator and outages', ['backup', 'generator', 'outage', 'outage_draw', 'outage_statistics', 'bypass']],
  ['Weather', ['weather']],
  ['Prices', ['prices']],
  ['Options', ['option']],
  ['Sizes to try', ['search']],
  ['Assumed ranges', ['assumed_range']],
  ['Sources of the values', ['provenance']],
];

// A value as it is typed: a text without its quotation marks.
export function typed(value) {
  if (/^"([^"\\]*)"$/.test(value)) return value.slice(1, -1);
  if (/^'[^'\n]*'$/.test(value)) return value.slice(1, -1);
  return value;
}

// A text that reads as a number or a list would lose its quotation marks when it is set; they stay then.
function shown(value) {
  const plain = typed(value);
  return plain !== value && /^[\s\d[{"'+-]*$|^(true|false|inf|nan)$/.test(plain) ? value : plain;
}

export function stationsOf(keys) {
  const rest = new Map();
  const lists = stations.map(([name, tables]) => [name, keys.filter(k => tables.includes(k.key.split('.')[0]))]);
  for (const k of keys) {
    const table = k.key.split('.')[0];
    if (!stations.some(([, tables]) => tables.includes(table))) rest.set(table, [...rest.get(table) ?? [], k]);
  }
  return [...lists, ...rest].filter(([, list]) => list.length > 0);
}

// The words before a field: "pipe 2, length (drop pipe)".
function label(k) {
  const words = k.key.split('.').map(w => w.replaceAll('_', ' ').replace(/\bsoc\b/, 'SOC'));
  const path = words.length > 1 ? `${words.slice(0, -1).join(' ')}: ${words.at(-1)}` : words[0];
  return k.entry && words.at(-1) !== 'name' ? `${path} (${k.entry})` : path;
}

// Shows the keys in `into`. `set` takes a key and a typed value and returns what is wrong, or ''.
export function showSheet(into, keys, set) {
  const open = new Set([...into.querySelectorAll('details[open]')].map(d => d.dataset.station));
  const focused = document.activeElement?.dataset?.key;
  into.replaceChildren(...stationsOf(keys).map(([name, list]) => element('details',
    {open: open.has(name), 'data-station': name},
    element('summary', {}, `${name} `, element('span', {className: 'note'}, `${list.length} ${list.length === 1 ? 'value' : 'values'}`)),
    ...list.map(k => field(k, set)))));
  if (focused) into.querySelector(`[data-key="${CSS.escape(focused)}"]`)?.focus();
}

function field(k, set) {
  const id = 'key-' + k.key.replace(/[^\w-]/g, '-');
  const wrong = element('span', {className: 'wrong', id: id + '-wrong'});
  const input = element(k.value.includes('\n') ? 'textarea' : 'input', {id, value: shown(k.value), spellcheck: false,
    autocomplete: 'off', 'data-key': k.key, 'aria-describedby': `${id}-note ${id}-wrong`,
    onchange: async () => {
      const error = await set(k.key, input.value);
      wrong.textContent = error ? `${error} The value in use is still ${shown(k.value)}.` : '';
      input.setAttribute('aria-invalid', error ? 'true' : 'false');
    }});
  return element('div', {className: 'field'}, element('label', {htmlFor: id}, label(k)), input,
    element('span', {className: 'note', id: id + '-note'}, k.note), wrong);
}
