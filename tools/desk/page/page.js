// The page: opens designs, takes changes, keeps the answer in step with them.
// Two engines run: one answers every change at once, the other runs the many years, the report and the varied key. A study
// (autonomy, the comparison) has one of its own, so that it can be stopped.
import {autonomyView} from './autonomy_view.js';
import {compareView} from './compare_view.js';
import {openDesign} from './design.js';
import {at, download, element, fileName} from './dom.js';
import {figures} from './figures.js';
import {openPort, pageParts} from './port.js';
import {showSheet, typed} from './sheet.js';
import {openStudies} from './studies.js';
import {checksView, reportView, textView, varyView} from './views.js';
import {sentence, showYears} from './years.js';

const encoder = new TextEncoder();
const design = openDesign();
const studies = openStudies(load);
let quick, long;  // the two engines
let long_has = null;  // the design that the second one has
let keys = [], options = [], year, check, kept = null, view = 'checks';
let version = 0;  // of the question; an answer to an older one is not shown
let busy = false;

const us = () => at('units').value === 'us';
const option = () => at('option').value;
const say = text => { at('message').textContent = text; };

const filesOf = ({files}) => Object.entries(files).map(([path, text]) => [path, encoder.encode(text)]);

// Gives a design to an engine; returns the answer of load_scenario.
async function load(port, {path, text, files, weather}) {
  for (const [name, bytes] of [...filesOf({files}), [path, encoder.encode(text)]]) {
    const put = await port.putFile(name, bytes);
    if (put.error) return put;
  }
  const loaded = await port.call('load_scenario', {path});
  if (loaded.error) return loaded;
  const given = await port.call('load_weather', {paths: weather});
  return given.error ? given : loaded;
}

// Makes a design the open one; returns what is wrong with it, or ''.
async function use(next, fresh = false) {
  const loaded = await load(quick, next);
  if (loaded.error) {
    if (design.now) await load(quick, design.now);
    return loaded.error;
  }
  if (fresh) {
    kept = null;
    at('units').value = loaded.answer.units;
  }
  say(design.set(next, fresh));
  await show(loaded.answer);
  if (fresh && !(view in studied)) showView();
  return '';
}

async function show({title, place, options: names}) {
  const chosen = option();
  options = names;
  at('title').textContent = title || fileName(design.now.path);
  at('place').textContent = place;
  document.title = `${title || fileName(design.now.path)} - Holdwater`;
  at('option').replaceChildren(element('option', {value: ''}, 'base design'), ...options.map(o => element('option', {value: o}, o)));
  at('option').value = options.includes(chosen) ? chosen : '';
  at('option').parentElement.hidden = options.length === 0;
  keys = (await quick.call('keys')).answer;
  showSheet(at('sections'), keys, setKey);
  await refresh();
  document.body.dataset.open = design.now.path;
}

async function setKey(key, value) {
  const set = await quick.call('set_key', {key, value});
  if (set.error) return set.error;
  const text = (await quick.call('save')).answer;
  if (text === design.now.text) return '';
  say(design.set({...design.now, text}));
  const refreshed = refresh();  // the year goes to the engine before the keys
  keys = (await quick.call('keys')).answer;
  showSheet(at('sections'), keys, setKey);
  await refreshed;
  return '';
}

// Asks again for everything that is shown; what is no longer asked for is dropped.
async function refresh() {
  const mine = ++version;
  at('undo').disabled = !design.canUndo();
  at('redo').disabled = !design.canRedo();
  const run = await quick.call('year', {years: 0, option: option()});
  if (mine !== version) return;
  year = run.answer ?? null;
  at('sentence').textContent = run.error ?? 'The many years of weather are being run; the typical year is below.';
  at('years').replaceChildren();
  showFigures();
  const checked = await quick.call('check', {option: option(), units: us() ? 'us' : 'metric'});
  if (mine !== version) return;
  check = checked.answer ?? null;
  if (checked.error) say(checked.error);
  if (view === 'checks' || view in studied) showView();
  if (year) runYears().catch(error => say(error.message));
}

// One at a time; a question that came meanwhile is asked when the last answer is there.
async function runYears() {
  if (busy) return;
  busy = true;
  for (let asked = 0; asked !== version;) {
    asked = version;
    const verdict = await inLong(port => port.call('year', {option: option()}));
    if (asked !== version) continue;
    if (verdict.error) {
      at('sentence').textContent = verdict.error;
      at('years').replaceChildren();
    } else if (verdict.answer.verdict) {
      at('sentence').textContent = sentence(verdict.answer.verdict);
      showYears(at('years'), verdict.answer.verdict);
    } else {
      at('sentence').textContent = 'No years but the typical one were run: the scenario asks for none.';
      at('years').replaceChildren();
    }
  }
  busy = false;
}

let line = Promise.resolve();
// Work for the second engine, in its order, with the design as it is then.
function inLong(work) {
  const done = line.then(async () => {
    if (long_has !== design.now) {
      const loaded = await load(long, design.now);
      if (loaded.error) return loaded;
      long_has = design.now;
    }
    return work(long);
  });
  line = done.catch(() => {});
  return done;
}

function showFigures() {
  const rows = year ? figures.map(f => {
    const now = f.of(year), before = kept && f.of(kept.year);
    const changed = kept && f.show(now, us()) !== f.show(before, us());
    const worse = changed && f.worse && (f.worse === 'more' ? now > before : now < before);
    return element('tr', {}, element('th', {scope: 'row'}, f.label), element('td', {className: 'number'}, f.show(now, us())),
      element('td', {className: 'number'}, !kept ? '' : f.show(before, us()) + (!changed ? '' : !f.worse ? ' (changed)' : worse ? ' (was better)' : ' (was worse)')));
  }) : [];
  at('figures').tBodies[0].replaceChildren(...rows);
  at('figures').classList.toggle('alone', !kept);
}

// The views that run a study of the open design; a change makes them again.
const studied = {
  autonomy: () => autonomyView(() => studies.run('autonomy', design.now, {option: option(), one_design: true})),
  compare: () => compareView(() => studies.run('compare', design.now, {}), options, us(),
    typed(keys.find(k => k.key === 'prices.currency')?.value ?? 'cost')),
};

function showView() {
  studies.stop();
  for (const button of document.querySelectorAll('[data-view]')) button.setAttribute('aria-pressed', String(button.dataset.view === view));
  const name = fileName(design.now.path).replace(/\.toml$/, '');
  const parts = view in studied ? studied[view]() : view === 'checks' ? check ? checksView(check) : []
    : view === 'report' ? reportView(request => inLong(port => port.call('report',
      {...request, date: new Date().toLocaleDateString('sv'), option: option(), units: at('units').value})), name)
    : view === 'vary' ? varyView(keys, vary, us())
    : textView(design.now.path, design.now.text, text => use({...design.now, text}));
  at('view').replaceChildren(...parts);
}

const vary = (key, value) => inLong(async port => {
  long_has = null;  // the second engine has another scenario now
  const set = await port.call('set_key', {key, value});
  return set.error ? set : port.call('year', {years: 0, option: option()});
});

// Files that were dropped or picked: a scenario, what it names, or weather for the open one.
async function openFiles(list) {
  const files = {};
  for (const file of list) files[file.name] = await file.text();
  const scenarios = Object.keys(files).filter(name => name.endsWith('.toml'));
  if (scenarios.length === 0) {
    if (!design.now) return 'Open a scenario first, then weather for it.';
    const weather = Object.keys(files).sort();
    return use({...design.now, files: {...design.now.files, ...files}, weather});
  }
  let wrong = '';
  for (const path of scenarios) {
    const named = namedFiles(files[path], files);
    const found = await use({path, text: files[path], files: {...files, ...named}, weather: []}, true);
    if (found === '') return '';
    wrong ||= found;
  }
  return wrong;
}

// A scenario names its files with folders ("weather/site.csv"): each is put there too.
function namedFiles(text, files) {
  const named = {};
  for (const [, path] of text.matchAll(/"([^"\n]+\.[a-z0-9]{2,4})"/gi))
    if (path.includes('/') && files[fileName(path)] !== undefined) named[path] = files[fileName(path)];
  return named;
}

async function openDemo(path) {
  const {files} = await pageParts();
  const text = new TextDecoder().decode(files.find(([name]) => name === path)[1]);
  return use({path, text, files: {}, weather: []}, true);
}

async function step(move) {
  design[move]();
  const loaded = await load(quick, design.now);
  if (loaded.error) say(loaded.error);
  else await show(loaded.answer);
  if (view !== 'checks' && !(view in studied)) showView();
}

async function start() {
  const {files} = await pageParts();
  [quick, long] = await Promise.all([openPort(files), openPort(files)]);
  const demos = files.map(([path]) => path).filter(path => /^scenarios\/[^/]+\.toml$/.test(path));
  at('demo').append(...demos.map(path => element('option', {value: path}, fileName(path).replace(/\.toml$/, ''))));
  at('demo').onchange = async () => { if (at('demo').value) say(await openDemo(at('demo').value)); };
  at('open').onchange = async () => { say(await openFiles(at('open').files)); at('open').value = ''; };
  document.ondragover = event => event.preventDefault();
  document.ondrop = async event => { event.preventDefault(); say(await openFiles(event.dataTransfer.files)); };
  at('save').onclick = () => download(fileName(design.now.path), design.now.text, 'application/toml');
  at('undo').onclick = () => step('undo');
  at('redo').onclick = () => step('redo');
  at('units').onchange = () => { refresh(); if (view === 'vary') showView(); };
  at('option').onchange = refresh;
  at('keep').onclick = () => { kept = {year}; showFigures(); };
  for (const button of document.querySelectorAll('[data-view]')) button.onclick = () => { view = button.dataset.view; showView(); };
  at('add').onsubmit = async event => {
    event.preventDefault();
    const {key, value} = at('add').elements;
    at('add-wrong').textContent = await setKey(key.value.trim(), value.value);
  };
  const before = design.kept();
  const wrong = before ? await use(before, true) : '';
  if (!design.now) await openDemo('scenarios/juniper-bend-household.toml');
  if (wrong) say(`The design of the last visit cannot be opened: ${wrong}`);
  document.body.dataset.ready = 'true';
}

start().catch(error => say(`The page cannot start: ${error.message}. It needs a browser of 2023 or later.`));
