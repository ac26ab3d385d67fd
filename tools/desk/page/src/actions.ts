// What changes the state: opening designs, changing keys, and keeping the answer in step with them.
// Two engines run: one answers every change at once, the other runs the many years and what the views ask. A long study has an
// engine of its own (studies.ts), so that it can be stopped.
import {batch} from '@preact/signals';
import * as state from './state';
import {asKept, keep, keepFiles, keepTyping, keptFiles, keptTyping, lastKept, type Typing} from './store';
import {fileName} from './format';
import {download, scenario_mark, sorted} from './files';
import {assumedRanges, inputOf, tried_years} from './ranges';
import {loadDesign, openPort, pageTexts, type Port} from './port';
import {spokenAnswer} from './spoken';
import {stationOf} from './stations';
import {texts} from './texts';
import type {Answer, Checks, Cloudiness, Cost, Design, Figures, KeyText, Loaded, PartChange, ScenarioKey, SensitivityInput, StatedRange, Units, VerdictAnswer, Year} from './types';

const most_kept = 200, first_years = 12, one_edit_ms = 1500, at_once_ms = 500, longest_stale_ms = 1000;

let quick: Port;
let long: Promise<Port> | null = null;  // opened when it is first needed
let long_has: Design | null = null;  // the design that the second engine has
let last_edit = {key: '', at: 0};
let told: Figures | null = null;  // the figures that were spoken last

const now = () => new Date().toLocaleTimeString(texts.time_locale, {hour: '2-digit', minute: '2-digit', second: '2-digit'});
export const say = (text: string) => { state.message.value = text; };

function remember(files: boolean): void {
  const design = state.design.value;
  if (!design) return;
  try {
    keep({design: asKept(design), units: state.units.value, theme: state.theme.value, option: state.option.value,
      kept: state.kept.value, last_saved: state.lastSaved.value, time: now()});
    state.savedWords.value = texts.saved(now());
    if (files) keepFiles(design.files).catch(() => { state.savedWords.value = texts.not_saved; });
  } catch {
    state.savedWords.value = texts.not_saved;
  }
}

/** Makes a design the open one; returns what is wrong with it, or ''. `fresh` forgets what was before. */
export async function use(next: Design, fresh: boolean): Promise<string> {
  const loaded = await loadDesign<Loaded>(quick, next);
  if (loaded.error !== undefined) {
    if (state.design.value) await loadDesign(quick, state.design.value);
    return loaded.error;
  }
  const files = fresh || state.design.value?.files !== next.files;
  batch(() => {
    if (fresh) {
      state.past.value = [];
      state.kept.value = [];
      state.lastSaved.value = {name: texts.as_opened, text: next.text, figures: null};
      state.option.value = '';
      state.openStations.value = [];
      state.deciding.value = [];
      state.partSizes.value = {};
      state.units.value = unitsOf(next.text, loaded.answer.units);
      state.before.value = null;
      // Nothing of the design that was open before.
      told = null;
      state.year.value = state.verdict.value = state.checks.value = state.cost.value = null;
      state.autonomy.value = undefined;
    } else if (state.design.value) {
      state.past.value = [...state.past.value, state.design.value].slice(-most_kept);
    }
    state.future.value = [];
    state.design.value = next;
    state.door.value = 'none';
  });
  keepTyping(null);
  remember(files);
  await taken(loaded.answer);
  return '';
}

const titleOf = (text: string) => /^title\s*=\s*"(.*)"/m.exec(text)?.[1] ?? '';

// A scenario that states no units is shown in those that it is written in.
export function unitsOf(text: string, stated: Units): Units {
  if (/^units\s*=/m.test(text)) return stated;
  return /"-?[\d.,/ ]+ ?(psi|gal|gal\/day|gpm|ft|hp)"/.test(text) ? 'us' : 'metric';
}

// The quick engine has the design; everything that is shown follows.
async function taken(loaded: Loaded): Promise<void> {
  batch(() => {
    state.title.value = loaded.title || fileName(state.design.value!.path);
    state.place.value = loaded.place;
    state.options.value = loaded.options;
    if (!loaded.options.includes(state.option.value)) state.option.value = '';
    state.refused.value = {};
  });
  document.title = `${state.title.value} - ${texts.program}`;
  void refresh();
  await readKeys();
}

let described_in: Units | null = null;
async function readKeys(): Promise<void> {
  const units = state.units.value;
  const [described, keys, ranges] = await Promise.all([
    described_in === units ? null : quick.call<KeyText[]>('describe', {units}), quick.call<ScenarioKey[]>('keys', {units: state.units.value}),
    quick.call<StatedRange[]>('ranges')]);
  batch(() => {
    if (described?.answer) {
      state.described.value = described.answer;
      described_in = units;
    }
    if (keys.answer) state.keys.value = keys.answer;
    state.ranges.value = ranges.answer ?? [];
  });
}

// After a change in the quick engine: the text becomes the design, and the answer follows. Changes of one key within a moment
// are one step of undo.
async function changed(key: string): Promise<void> {
  const text = (await quick.call<string>('save')).answer!;
  const design = state.design.value!;
  if (text === design.text) return;
  const same = key !== '' && key === last_edit.key && Date.now() - last_edit.at < one_edit_ms;
  last_edit = {key, at: Date.now()};
  batch(() => {
    if (!same) state.past.value = [...state.past.value, design].slice(-most_kept);
    state.future.value = [];
    state.design.value = {...design, text};
  });
  remember(false);
  void refresh();  // the year goes to the engine before the keys
  await readKeys();
  if (/^(title|place|units|option)\b/.test(key) || key === '') {
    // Names and options may have changed.
    const loaded = await loadDesign<Loaded>(quick, state.design.value!);
    if (loaded.answer) batch(() => {
      state.title.value = loaded.answer.title;
      state.place.value = loaded.answer.place;
      state.options.value = loaded.answer.options;
    });
  }
}

function refuse(key: string, typed: string, message: string): void {
  const {[key]: _, ...others} = state.refused.value;
  state.refused.value = message === '' ? others : {...others, [key]: {typed, message}};
}

// "page.toml:12: key 'battery.capacity': 14 gal ..." at the key's own field: without the place and the key.
export function atField(message: string, key: string): string {
  const name = key.replace(/\.\d+(?=\.)/g, '');
  const own = message.split('\n').find(line => line.includes(`'${name}'`)) ?? message.split('\n')[0]!;
  return own.replace(/^[^\s:]+(:\d+)?: /, '').replace(`key '${name}': `, '');
}

let turn: Promise<unknown> = Promise.resolve();
// What a person does is done in its order: a key that is set when the field is left, and then undo.
function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const done = turn.then(work);
  turn = done.catch(() => {});
  return done;
}

/** Sets one key as typed; empty text takes it out. Returns what is wrong, or ''. */
export const setKey = (key: string, typed: string): Promise<string> => inTurn(async () => {
  const has = state.keys.value.some(k => k.key === key);
  if (typed.trim() === '' && !has) {
    refuse(key, '', '');
    keepTyping(null);
    return '';
  }
  const set = typed.trim() === '' ? await quick.call('remove', {key}) : await quick.call('set_key', {key, value: typed, units: state.units.value});
  refuse(key, typed, set.error === undefined ? '' : atField(set.error, key));
  if (set.error !== undefined) return set.error;
  keepTyping(null);
  await changed(key);
  return '';
});

/** Sets several keys in one step. Returns what is wrong, or ''. */
export const setKeys = (changes: {key: string; value: string}[]): Promise<string> => inTurn(async () => {
  const set = await quick.call('set_keys', {changes, units: state.units.value});
  if (set.error === undefined) await changed('');
  return set.error ?? '';
});

export const removeKey = (key: string): Promise<void> => inTurn(async () => {
  const removed = await quick.call('remove', {key});
  say(removed.error ?? '');
  if (removed.error === undefined) await changed('');
});

export const addEntry = (list: string, lines: string): Promise<void> => inTurn(async () => {
  const added = await quick.call('add', {list, lines});
  say(added.error ?? '');
  if (added.error === undefined) await changed('');
});

export const takePart = (kind: string, table: string, name: string): Promise<Answer<PartChange[]>> => inTurn(async () => {
  const taken = await quick.call<PartChange[]>('take_part', {kind, table, name, paths: await partsFiles()});
  if (taken.error === undefined) {
    if (kind === 'battery') {
      const has = (await quick.call<ScenarioKey[]>('keys', {units: state.units.value})).answer;
      state.partSizes.value = {'battery.capacity': has?.find(k => k.key === 'battery.capacity')?.shown ?? ''};
    }
    await changed('');
  }
  return taken;
});

/** The parts lists of the page and those that were opened. */
export async function partsFiles(): Promise<string[]> {
  const texts_of_page = await pageTexts();
  const own = Object.entries(state.design.value?.files ?? {})
    .filter(([path, bytes]) => path.endsWith('.toml') && /^\s*\[\[\w/m.test(new TextDecoder().decode(bytes)) && !/^\s*\[weather\]/m.test(new TextDecoder().decode(bytes)));
  return [...own.map(([path]) => path), ...texts_of_page.map(([path]) => path).filter(path => /^scenarios\/parts\/.*\.toml$/.test(path))];
}

export const ask = <T>(call: string, request: object = {}) => quick.call<T>(call, request);

async function step(from: typeof state.past, to: typeof state.past): Promise<void> {
  const next = from.value.at(-1);
  if (!next) return;
  const loaded = await loadDesign<Loaded>(quick, next);
  if (loaded.error !== undefined) return say(loaded.error);
  batch(() => {
    to.value = [...to.value, state.design.value!];
    from.value = from.value.slice(0, -1);
    state.design.value = next;
  });
  last_edit = {key: '', at: 0};
  remember(true);
  await taken(loaded.answer);
}
export const undo = () => inTurn(() => step(state.past, state.future));
export const redo = () => inTurn(() => step(state.future, state.past));

/** Asks again for everything in the answer; what is no longer asked for is dropped. */
export async function refresh(): Promise<void> {
  const mine = ++state.version.value;
  dropStale();
  const old = state.figures.value;
  const option = state.option.value;
  state.running.value = true;
  state.spoken.value = '';
  const run = await quick.call<Year>('year', {years: 0, option});
  if (mine !== state.version.value) return;
  batch(() => {
    state.before.value = old;
    state.problem.value = run.error ?? '';
    if (run.answer) state.year.value = run.answer;
    state.warnings.value = run.error === undefined ? run.warnings ?? [] : [];
    if (run.error !== undefined) {
      state.running.value = false;
      state.spoken.value = `${texts.refused} ${run.error}`;
    }
  });
  const checked = await quick.call<Checks>('check', {option, units: state.units.value});
  if (mine !== state.version.value) return;
  if (checked.answer) state.checks.value = checked.answer;
  if (run.answer) void runYears();
  setTimeout(() => { if (mine === state.version.value) state.before.value = null; }, 3500);
}

let year_ms = Infinity;  // of the last verdict, for each of its years
let years_line: Promise<void> = Promise.resolve();
// One at a time; what was asked before the newest change is dropped.
function runYears(): Promise<void> {
  const mine = state.version.value;
  const current = () => mine === state.version.value;
  years_line = years_line.then(async () => {
    if (!current()) return;
    const option = state.option.value;
    const asked = Number(state.valueOf('weather.made_years') || 50);
    // Few years first, so that the sentence says something soon, unless all of them will come at once.
    if (asked > first_years && asked * year_ms > at_once_ms) {
      const some = await inLong<VerdictAnswer | null>('verdict', {option, years: first_years, worst: false});
      if (!current()) return;
      const few = some.answer && state.judged(some.answer.verdict, some.answer.source);
      if (few) batch(() => {
        state.verdict.value = some.answer;
        state.partial.value = true;
        state.verdictVersion.value = mine;
        state.spoken.value = texts.so_far(few.held, few.years, some.answer!.verdict.winters);
      });
    }
    const began = performance.now();
    const all = await inLong<VerdictAnswer | null>('verdict', {option});
    if (all.error === undefined) year_ms = (performance.now() - began) / asked;
    if (!current()) return;
    batch(() => {
      state.partial.value = false;
      state.verdictVersion.value = mine;
      state.verdict.value = all.answer ?? null;
      if (all.error !== undefined) state.problem.value = all.error;
    });
    const cost = await inLong<Cost | null>('cost', {option});
    if (!current()) return;
    state.cost.value = cost.answer ?? null;
    const lasts = await inLong<Cloudiness>('cloudiness', {option, shares: [0]});
    if (!current()) return;
    batch(() => {
      state.autonomy.value = lasts.answer?.days[0];
      state.running.value = false;
      const figures = state.figures.value!;
      state.spoken.value = spokenAnswer(told, figures, state.verdict.value?.source ?? '', state.units.value);
      told = figures;
      const last = state.lastSaved.value;
      if (last && !last.figures && last.text === state.design.value!.text) state.lastSaved.value = {...last, figures};
    });
    void findDeciding(option, current);
  }).catch(error => say(String(error)));
  return years_line;
}

// Which assumed inputs turn a verdict within their range, so that they are worth measuring. One question for each input, so that
// what a view or the next change asks does not wait for all of them.
async function findDeciding(option: string, current: () => boolean): Promise<void> {
  const tried = assumedRanges(), found: string[] = [];
  for (const range of tried) {
    const answer = await inLong<{inputs: SensitivityInput[]}>('sensitivity', {inputs: [inputOf(range)], option, years: tried_years});
    if (!current()) return;
    if (answer.answer?.inputs.some(i => i.flipped.length > 0)) found.push(range.input);
  }
  state.deciding.value = [...state.deciding.value.filter(input => !tried.some(r => r.input === input)), ...found];
}

let long_call: object | null = null;  // what the second engine is asked now
// A question from before a change is dropped: what still runs after a moment is ended with its engine, and a new one is opened.
function dropStale(): void {
  const stale = long_call;
  if (stale) setTimeout(() => {
    if (long_call !== stale) return;
    void long?.then(port => port.close());
    long = long_has = long_call = null;
  }, longest_stale_ms);
}

let line: Promise<unknown> = Promise.resolve();
/** A question for the second engine about the design as it is when its turn comes. */
export function inLong<T>(call: string, request: object): Promise<Answer<T>> {
  const done = line.then(async (): Promise<Answer<T>> => {
    const port = await (long ??= openPort());
    const design = state.design.value!;
    if (long_has !== design) {
      const loaded = await loadDesign(port, design);
      if (loaded.error !== undefined) return loaded;
      long_has = design;
    }
    const mine = long_call = {};
    const answer = await port.call<T>(call, request);
    if (long_call === mine) long_call = null;
    return answer;
  });
  line = done.catch(() => {});
  return done;
}

/** Freezes the design as it stands, to compare with. */
export function keepOption(): void {
  const figures = state.figures.value;
  if (!figures) return;
  const name = nextName(), {text} = state.design.value!;
  state.kept.value = [...state.kept.value, {name, text, figures}];
  state.lastSaved.value = {name: texts.cloudiness.option(name), text, figures};
  remember(false);
}
/** The first letter that no kept option has. */
export const nextName = () => [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'].find(name => state.kept.value.every(k => k.name !== name)) ?? String(state.kept.value.length + 1);
export function dropKept(name: string): void {
  state.kept.value = state.kept.value.filter(k => k.name !== name);
  remember(false);
}
export const takeKept = (name: string) => useText(state.kept.value.find(k => k.name === name)!.text);

/** The design as a file. */
export function save(): void {
  const {path, text} = state.design.value!;
  download(fileName(path), text, 'application/toml');
  const last = state.lastSaved.value;
  state.lastSaved.value = {name: texts.as_saved(now()), text, figures: last?.text === text ? last.figures : state.running.value ? null : state.figures.value};
  remember(false);
}

/** The whole text of the scenario in place of the one that is open. */
export const useText = (text: string) => inTurn(() => use({...state.design.value!, text}, false));

/** Files that were dropped or picked: designs with what they name, or weather for the open one. */
export const openFiles = (list: Iterable<File>): Promise<void> => inTurn(() => openList([...list]));

async function openList(list: File[]): Promise<void> {
  const dropped: Record<string, Uint8Array> = {};
  for (const file of list) dropped[file.name] = new Uint8Array(await file.arrayBuffer());
  const {designs, weather, wrong} = sorted(dropped);
  let first_wrong = wrong;
  for (const next of designs) {
    const found = await use(next, true);
    if (found === '') return say('');
    first_wrong ||= missing(found);
  }
  if (designs.length > 0 || wrong !== '') return say(first_wrong);
  const open = state.design.value;
  if (!open) return say(texts.open_first);
  const files = {...open.files, ...dropped};
  const found = await use({...open, files, weather, temperature: ''}, false);
  if (found === '') return say(texts.weather_used(weather.length));
  // Recorded years often have no temperature; then one of the files may be the typical year of the station, which has.
  if (weather.length > 1) for (const temperature of weather) {
    const years = weather.filter(path => path !== temperature);
    if (await use({...open, files, weather: years, temperature}, false) === '') return say(`${texts.weather_used(years.length)} ${texts.temperature_from(temperature)}`);
  }
  say(found);
}

export const ownWeather = () => inTurn(async () => say(await use({...state.design.value!, weather: [], temperature: ''}, false)));

function missing(error: string): string {
  const file = /([^\s/:]+\.(?:csv|epw|tm2|tm3|json|txt|toml)): (?:cannot be read|cannot be opened|no such file|there is no)/i.exec(error)?.[1];
  return file ? `${error}\n${texts.missing_file(file)}` : error;
}

export const openDemo = (path: string): Promise<void> => inTurn(async () => {
  const [, text] = (await pageTexts()).find(([name]) => name === path)!;
  say(await use({path, text, files: {}, weather: []}, true));
});

/** A first design from the answers to the questions; returns what is wrong, or ''. */
export const startDesign = (answers: Record<string, string>): Promise<string> => inTurn(async () => {
  const path = 'my-well.toml', weather_path = 'my-well-weather.csv';
  const made = await quick.call<{text: string; weather: string | null}>('start', {answers, path, weather_path});
  if (made.error !== undefined) return made.error;
  const files: Record<string, Uint8Array> = made.answer.weather ? {[weather_path]: new TextEncoder().encode(made.answer.weather)} : {};
  return use({path, text: made.answer.text, files, weather: []}, true);
});

export function setUnits(units: Units): void {
  state.units.value = units;
  remember(false);
  if (state.design.value) void Promise.all([readKeys(), refresh()]);
}
export function setTheme(theme: state.Theme): void {
  state.theme.value = theme;
  document.documentElement.dataset.theme = theme;
  remember(false);
}
export function setOption(option: string): void {
  state.option.value = option;
  void refresh();
}

/** Opens a station of the sheet, or closes it; at most two are open. */
export function toggleStation(number: number): void {
  const open = state.openStations.value;
  state.openStations.value = open.includes(number) ? open.filter(n => n !== number) : [...open, number].slice(-2);
}

/** What "Send this" holds: the answer, a digest of the weather, and the design, which the page opens again. */
export function sendText(digest: string[]): string {
  const f = state.figures.value;
  const v = f?.verdict;
  const lines = [state.title.value, state.place.value, '',
    ...(v ? [texts.held(v.held, v.years, state.verdict.value!.source, f!.winters), texts.interval(v.held_low, v.held_high, v.needed),
      state.verdict.value!.worst ?? ''] : []),
    ...(f ? [`${texts.figures.start}: ${f.start}`] : []), '', ...digest, '',
    texts.report.how_to_open, scenario_mark];
  return lines.join('\n') + '\n' + state.design.value!.text;
}

export async function start(): Promise<void> {
  try {
    quick = await openPort();
    state.demos.value = (await pageTexts()).filter(([path]) => /^scenarios\/[^/]+\.toml$/.test(path)).map(([path, text]) => ({path, title: titleOf(text) || fileName(path)}));
    const before = lastKept(), typing = keptTyping();
    if (before) {
      setThemeOnly(before.theme as state.Theme);
      const bytes = await keptFiles(before.design.files).catch(() => ({}));
      const wrong = await use({path: before.design.path, text: before.design.text, weather: before.design.weather, temperature: before.design.temperature, files: bytes}, true);
      if (wrong) {
        say(texts.not_recovered(wrong));
      } else {
        state.kept.value = before.kept ?? [];
        state.lastSaved.value = before.last_saved ?? state.lastSaved.value;
        if (before.units !== state.units.value) setUnits(before.units);
        if (state.options.value.includes(before.option)) setOption(before.option);
        state.savedWords.value = texts.recovered(before.time);
        if (typing) await typedBefore(typing);
      }
    }
    state.phase.value = 'ready';
  } catch (error) {
    say(texts.cannot_start(error instanceof Error ? error.message : String(error)));
    state.phase.value = 'broken';
  }
}

// What was being typed when the page was closed goes into its field, and is taken or refused there.
async function typedBefore({key, typed}: Typing): Promise<void> {
  state.openStations.value = [stationOf(key)];
  await setKey(key, typed);
}

function setThemeOnly(theme: state.Theme): void {
  state.theme.value = theme;
  document.documentElement.dataset.theme = theme;
}
