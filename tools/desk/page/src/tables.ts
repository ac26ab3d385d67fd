// What a scenario says in lists of changes, as tables that are read at a glance: its options, its search, its parts.
import {labelOf, tableWords} from './stations';
import {texts} from './texts';
import type {ScenarioKey} from './types';

export interface SettingsTable {
  name: string;
  head: string[];
  rows: string[][];
}

const words = texts.tables;
const bare = (text: string) => text.replaceAll('"', '');
/** "battery.capacity" -> "battery: capacity", "load.2.power" -> "load 2: power". */
export function keyWords(key: string): string {
  const [table, ...rest] = bare(key).split('.');
  if (rest.length === 0) return labelOf(table!, '');
  const number = /^\d+$/.test(rest[0]!) ? ` ${rest.shift()}` : '';
  return `${tableWords(table!)}${number}: ${labelOf(rest.join('.'), '')}`;
}
/** The entries of a TOML list, each without its quotation marks; lists in it stay together. */
export function listOf(shown: string): string[] {
  const inner = shown.trim().replace(/^\[|\]$/g, '');
  const entries: string[] = [];
  let depth = 0, quoted = false, entry = '';
  for (const sign of inner) {
    if (sign === '"') quoted = !quoted;
    else if (!quoted && sign === '[') ++depth;
    else if (!quoted && sign === ']') --depth;
    if (sign === ',' && !quoted && depth === 0) {
      entries.push(entry);
      entry = '';
    } else entry += sign;
  }
  if (entry.trim() !== '') entries.push(entry);
  return entries.map(e => bare(e).replace(/^\s*\[|\]\s*$/g, '').trim());
}

const plainly = (shown: string) => shown.startsWith('[') ? listOf(shown).join(', ') : shown;

/** One option: each key that it changes, in the base design and in the option. */
export function optionTable(option: string, keys: ScenarioKey[]): SettingsTable {
  const own = keys.filter(k => k.key.startsWith(option + '.')).map(k => ({...k, rest: k.key.slice(option.length + 1)}));
  const name = own.find(k => k.rest === 'name')?.shown ?? option;
  const rows = own.filter(k => k.rest !== 'name').flatMap(k => k.rest === 'remove'
    ? listOf(k.value).map(removed => [keyWords(removed), words.there, words.removed])
    : [[keyWords(k.rest), plainly(keys.find(base => base.key === bare(k.rest))?.shown ?? '–'), plainly(k.shown)]]);
  return {name: words.option(name), head: [words.what, texts.base_design, name], rows};
}

/** The search: what is asked, and a table for each thing that it varies, one column a size. */
export function searchTables(keys: ScenarioKey[]): SettingsTable[] {
  const own = keys.filter(k => k.key.startsWith('search.'));
  if (own.length === 0) return [];
  const asked = own.filter(k => !k.key.startsWith('search.axis.'));
  const tables: SettingsTable[] = [{name: words.search, head: [words.what, words.value],
    rows: asked.map(k => [k.key.startsWith('search.require.') ? words.required(labelOf(k.key.slice('search.require.'.length), '')) : labelOf(k.key, 'search'), k.shown])}];
  for (const axis of new Set(own.flatMap(k => /^search\.axis\.\d+/.exec(k.key)?.[0] ?? []))) {
    const of = own.filter(k => k.key.startsWith(axis + '.')).map(k => ({...k, rest: k.key.slice(axis.length + 1)}));
    const plain = (rest: string) => of.find(k => k.rest === rest);
    const lists = of.filter(k => !['name', 'label', 'more_never_hurts'].includes(k.rest)).map(k => [keyWords(k.rest), ...listOf(k.value)]);
    const count = Math.max(0, ...lists.map(l => l.length - 1));
    const labels = plain('label') ? listOf(plain('label')!.value) : Array.from({length: count}, (_, i) => String(i + 1));
    tables.push({name: words.axis(plain('name')?.shown ?? axis, plain('more_never_hurts')?.shown === 'yes'), head: [words.what, ...labels], rows: lists});
  }
  return tables;
}

/** Which part each section takes its keys from, and the lists of parts. */
export function partsTable(keys: ScenarioKey[]): SettingsTable | null {
  const rows = [...keys.filter(k => /^[\w.]+\.part$/.test(k.key) && !/^(option|search)\./.test(k.key)).map(k => [tableWords(k.key.replace(/\.part$/, '')), k.shown]),
    ...keys.filter(k => k.key === 'parts').flatMap(k => listOf(k.value)).map(path => [words.parts_list, path])];
  return rows.length === 0 ? null : {name: words.parts, head: [words.section, words.part], rows};
}
