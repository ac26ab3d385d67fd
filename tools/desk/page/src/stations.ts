// The lines of the site sheet in the order of a visit: water first, money last. A key finds its line by its table, so a key that
// is added to the engine later appears by itself; a table that stands nowhere here goes to the last line.
import {fileName} from './format';
import {texts} from './texts';
import type {Check, KeyText, ScenarioKey} from './types';

export interface Station {
  name: string;
  tables: string[];
  /** The key whose value sums the line up. */
  sum: string[];
  /** Of the hazards here. */
  cautions?: (keyof typeof texts.cautions)[];
  /** Parts that can fill a table: kind and table. */
  parts?: [kind: string, table: string][];
  checks: RegExp;
}

export const stations: Station[] = [
  {name: 'Water used', tables: ['demand', 'use', 'trough'], sum: ['demand.daily', 'use.1.persons', 'use.1.heads'], checks: /^$/},
  {name: 'Well and pump', tables: ['well', 'pump', 'motor', 'drive', 'pump_gate', 'pipe', 'friction'], sum: ['motor.rated_power'],
    parts: [['pump', 'pump'], ['motor', 'motor'], ['drive', 'drive']], checks: /^(motor|pump|pipe|soft-start)/},
  {name: 'Tank or cistern', tables: ['tank', 'cistern', 'booster'], sum: ['cistern.capacity', 'tank.volume'], parts: [['tank', 'tank'], ['cistern', 'cistern']], checks: /^(tank|low-pressure|shortest-run|starts-per-day)/},
  {name: 'Cable and controls', tables: ['cable', 'wiring', 'check', 'waiver'], sum: ['wiring.breaker', 'cable.1.size'], cautions: ['cable'], checks: /^(cable|breaker|dc-|start-motor|protection)/},
  {name: 'Other loads', tables: ['load'], sum: ['load.1.power'], checks: /^(leg-load|phase-load)/},
  {name: 'Inverter', tables: ['inverter', 'charger'], sum: ['inverter.rated_power'], parts: [['inverter', 'inverter'], ['charger', 'charger']], checks: /^(start-surge|start-measured|running-load)/},
  {name: 'Battery', tables: ['battery'], sum: ['battery.capacity', 'battery.unit_capacity'], cautions: ['battery'], parts: [['battery', 'battery']], checks: /^(battery|start-battery|autonomy)/},
  {name: 'Array', tables: ['array', 'controller'], sum: ['array.rated_power', 'array.modules_in_series'], parts: [['module', 'array.module'], ['controller', 'controller']], checks: /^(array|controller)/},
  {name: 'Grid and generator', tables: ['backup', 'second_backup', 'tariff', 'generator', 'outage', 'outage_statistics', 'bypass'], sum: ['backup.kind'], cautions: ['grid', 'generator'], parts: [['generator', 'generator']], checks: /^(generator|grid|bypass|tariff)/},
  {name: 'Weather', tables: ['weather', 'place', 'elevation', 'latitude', 'longitude'], sum: ['weather.file'], checks: /^$/},
  {name: 'Prices and what is asked', tables: ['title', 'question', 'units', 'rules', 'required', 'prices', 'search', 'parts', 'option'], sum: ['prices.purchase', 'required.years_without_shortage'], checks: /^$/},
];

/** Tables that a scenario may have several of, each written [[table]], with the keys of a new one. */
export const lists: Record<keyof typeof texts.lists, string> = {
  use: `name = "${texts.lists.use.name}"\nkind = "other"\ndaily = "100 gal/day"\n`,
  pipe: `name = "${texts.lists.pipe.name}"\nlength = "100 ft"\ninside_diameter = "1.049 in"\n`,
  cable: `name = "${texts.lists.cable.name}"\nlength = "100 ft"\nsize = "10"\n`,
  load: `name = "${texts.lists.load.name}"\npower = "10 W"\n`,
  outage: 'start = "12-20 18:00"\nlength = "24 h"\n',
  bypass: 'start = "06-01 08:00"\nlength = "8 h"\n',
  option: `name = "${texts.lists.option.name}"\n`,
  'search.axis': `name = "${texts.lists['search.axis'].name}"\n"battery.capacity" = ["10 kWh", "20 kWh"]\n`,
  waiver: `check = "cable-drop"\nreason = "${texts.lists.waiver.name}"\n`,
};
export const isList = (table: string): table is keyof typeof lists => table in lists;

const topOf = (key: string) => key.split('.')[0]!;
/** The keys that hold the sources and ranges of other keys; fields show them beside those. */
const beside = ['provenance', 'assumed_range'];

export const stationOf = (key: string): number => {
  const at = stations.findIndex(s => s.tables.includes(topOf(key)));
  return at >= 0 ? at : stations.length - 1;
};

export interface FieldOf {
  key: string;
  text: KeyText | null;
  value: ScenarioKey | null;
}
export interface Group {
  /** "battery", "load.2", "" for the top of the file. */
  table: string;
  /** The name of an entry of a list. */
  entry: string;
  list: string;
  common: FieldOf[];
  more: FieldOf[];
  /** A key of it is in the scenario. */
  used: boolean;
}

const same = (description: string, key: string) => key.replace(/\.\d+(?=\.)/g, '').replace(/^booster\.(pump|motor|pipe|drive)\./, '$1.').replace(/^weather\.years_columns\./, 'weather.columns.') === description;

/** The groups of a station, each with its fields: described keys in their order, then what else the scenario has there. */
export function groupsOf(station: number, described: KeyText[], keys: ScenarioKey[]): Group[] {
  const own = keys.filter(k => stationOf(k.key) === station && !beside.includes(topOf(k.key)));
  const known = described.filter(k => stationOf(k.key) === station && !k.key.includes('KEY') && !beside.includes(topOf(k.key)));
  const groups = new Map<string, Group>();
  const group = (table: string, list: string, entry: string) => {
    let found = groups.get(table);
    if (!found) groups.set(table, found = {table, entry, list, common: [], more: [], used: false});
    return found;
  };
  // The table of a key: "load.2", "battery"; a table below it ("battery.life") stays with it.
  const tableOf = (key: string) => {
    const parts = key.split('.');
    if (parts.length === 1) return {table: '', list: ''};
    if (/^\d+$/.test(parts[1]!)) return {table: `${parts[0]}.${parts[1]}`, list: parts[0]!};
    if (parts[0] === 'booster' && parts.length > 2) return /^\d+$/.test(parts[2]!) ? {table: parts.slice(0, 3).join('.'), list: ''} : {table: `booster.${parts[1]}`, list: ''};
    return {table: parts[0]!, list: ''};
  };
  for (const table of stations[station]!.tables)
    for (const k of own.filter(o => topOf(o.key) === table)) {
      const {table: name, list} = tableOf(k.key);
      group(name, list, k.entry).used = true;
    }
  for (const t of known) {
    const top = topOf(t.key);
    if (isList(top)) continue;  // only the entries that are there
    group(t.key.includes('.') ? top : '', '', '');
  }
  const taken = new Set<string>();
  for (const g of groups.values()) {
    const base = g.table === '' ? '' : g.table + '.';
    const described_here = described.filter(t => g.table === ''
      ? !t.key.includes('.') && stationOf(t.key) === station
      : same(t.key, base + t.key.slice(t.key.indexOf('.') + 1)) && t.key.includes('.'));
    for (const t of described_here) {
      if (t.key.includes('KEY')) continue;
      const key = g.table === '' ? t.key : base + t.key.slice(t.key.indexOf('.') + 1);
      const nested = own.filter(k => same(t.key, k.key) && k.key !== key && !k.key.startsWith('booster.') && tableOf(k.key).table === g.table);
      const value = own.find(k => k.key === key) ?? null;
      const into = t.more && !value ? g.more : g.common;
      if (nested.length > 0) for (const k of nested) { g.common.push({key: k.key, text: t, value: k}); taken.add(k.key); }
      else { into.push({key, text: t, value}); taken.add(key); }
    }
  }
  for (const k of own) {
    if (taken.has(k.key)) continue;
    const {table, list} = tableOf(k.key);
    group(table, list, k.entry).common.push({key: k.key, text: null, value: k});
  }
  return [...groups.values()].filter(g => g.common.length + g.more.length > 0);
}

/** The words of a field: "usable fraction", "life: depths". */
export function labelOf(key: string, table: string): string {
  const rest = table !== '' && key.startsWith(table + '.') ? key.slice(table.length + 1) : key;
  const words = rest.replaceAll('_', ' ').replace(/\bsoc\b/g, 'SOC').replace(/\bdc\b/g, 'DC').replace(/\bk per w\b/g, 'K/W').replace(/\bkwh\b/g, 'kWh').replace(/ h$/, ', hours').split('.');
  return words.length > 1 ? `${words.slice(0, -1).join(' ')}: ${words.at(-1)}` : words[0]!;
}

export const tableWords = (table: string) => table === 'required' ? texts.required : table.replaceAll('_', ' ').replace(/\.(\d+)$/, ' $1').replaceAll('.', ' ');

/** The mark of a line: a refused value, a check that fails, something assumed or not known, or nothing of these. */
export function markOf(station: number, checks: Check[], assumed: string[], refused: string[]): 'wrong' | 'fail' | 'assumed' | 'done' {
  if (refused.some(key => stationOf(key) === station)) return 'wrong';
  const own = checks.filter(c => !c.waived && stations[station]!.checks.test(c.check));
  if (own.some(c => c.verdict === 'FAIL')) return 'fail';
  if (own.some(c => c.verdict === 'UNKNOWN') || assumed.some(key => stationOf(key) === station)) return 'assumed';
  return 'done';
}

export function sumOf(station: number, keys: ScenarioKey[], weather: string[] = []): string {
  const s = stations[station]!;
  const of = (key: string) => keys.find(k => k.key === key)?.shown;
  if (s.name === 'Other loads') {
    const loads = keys.filter(k => /^load\.\d+\.power$/.test(k.key)).length;
    return loads === 0 ? texts.sum.none : texts.sum.loads(loads);
  }
  if (s.name === 'Weather' && weather.length > 0) return weather.length === 1 ? fileName(weather[0]!) : texts.sum.files(weather.length);
  if (s.name === 'Weather') return keys.some(k => k.key === 'weather.years') ? texts.sum.recorded : (of('weather.file') ?? '').replace(/^.*\//, '');
  for (const key of s.sum) {
    const value = of(key);
    if (value === undefined) continue;
    if (key === 'use.1.persons') return texts.sum.persons(value);
    if (key === 'use.1.heads') return texts.sum.heads(value);
    if (key === 'prices.purchase') return `${value} ${of('prices.currency') ?? ''}`.trim();
    if (key === 'wiring.breaker') return texts.sum.breaker(value);
    return value;
  }
  return '';
}
