// The options side by side: those of the scenario and those that were kept, ranked by the engine, with its reasons.
import {DataTable} from '../components/DataTable';
import {dropKept, takeKept} from '../actions';
import {number, volume, whole} from '../format';
import * as state from '../state';
import {texts} from '../texts';
import type {Answer, ComparedDesign, Comparison, ScenarioKey, Units} from '../types';
import type {Port} from '../port';
import {loadDesign} from '../port';
import {StudyView, type Progress} from './StudyView';

const quoted = (key: string) => `"${key.replaceAll('\\', '\\\\').replaceAll('"', '\\"')}"`;
const entryOf = (key: string) => /^(\w+\.\d+)\./.exec(key)?.[1];

/** A kept design as an [[option]] of the open one: the keys that differ. */
export function asOption(name: string, base: ScenarioKey[], kept: ScenarioKey[]): string {
  const skip = (key: string) => /^(option|search)\./.test(key);
  const now = new Map(base.filter(k => !skip(k.key)).map(k => [k.key, k.value])), then = new Map(kept.filter(k => !skip(k.key)).map(k => [k.key, k.value]));
  const entries = new Set([...now.keys()].map(entryOf)), kept_entries = new Set([...then.keys()].map(entryOf));
  const lines = [`[[option]]`, `name = ${quoted(name)}`];
  const removed = new Set<string>();
  for (const key of now.keys()) if (!then.has(key)) {
    const entry = entryOf(key);
    removed.add(entry && !kept_entries.has(entry) ? entry : key);
  }
  // From the last entry of a list to the first, because each removal renumbers what is behind it.
  if (removed.size > 0) lines.push(`remove = [${[...removed].sort((a, b) => b.localeCompare(a, 'en', {numeric: true})).map(quoted).join(', ')}]`);
  const added = new Map<string, string[]>();
  for (const [key, value] of then) {
    const entry = entryOf(key);
    if (entry && !entries.has(entry)) added.set(entry, [...added.get(entry) ?? [], `${key.slice(entry.length + 1)} = ${value}`]);
    else if (now.get(key) !== value) lines.push(`${quoted(key)} = ${value}`);
  }
  for (const [entry, keys] of added) lines.push(`[[option.${entry.replace(/\.\d+$/, '')}]]`, ...keys);
  return lines.join('\n');
}

async function work(port: Port, progress: Progress): Promise<Answer<Comparison | null>> {
  const open = state.design.value!;
  if (state.kept.value.length === 0 && state.options.value.length === 0) return {answer: null};
  let text = open.text.endsWith('\n') ? open.text : open.text + '\n';
  const base = await port.call<ScenarioKey[]>('keys');
  if (base.error !== undefined) return base;
  for (const k of state.kept.value) {
    const loaded = await loadDesign(port, {...open, text: k.text});
    if (loaded.error !== undefined) return loaded;
    const keys = await port.call<ScenarioKey[]>('keys');
    if (keys.error !== undefined) return keys;
    text += `\n${asOption(`option ${k.name}`, base.answer, keys.answer)}\n`;
  }
  const loaded = await loadDesign(port, {...open, path: open.path.replace(/(\w+)\.toml$/, 'side-by-side.toml'), text});
  if (loaded.error !== undefined) return loaded;
  return port.call<Comparison>('compare', {}, progress.share);
}

const words = texts.compare;
const days = (v: unknown, most: number) => v === null ? texts.over(most) : (v as number).toFixed(1);
type Row = [name: keyof typeof words.rows | keyof typeof words.cost_rows, show: (v: any, d: ComparedDesign) => string, endless?: boolean];
const rowsFor = (units: Units): Row[] => [
  ['years_held', (v, d) => words.years_of(v, d.years?.years)],
  ['demand_met_fraction', v => `${(100 * v).toFixed(2)} %`],
  ['shortage_hours', v => `${whole(v)} h`],
  ['years', v => `${[...new Set([whole(v.shortage_hours.low), whole(v.shortage_hours.high)])].join('-')} h`],
  ['longest_shortage_h', v => `${whole(v)} h`],
  ['soc_min', v => `${whole(100 * v)} %`],
  ['generator_run_h', v => `${number(v)} h`],
  ['generator_fuel_l', v => volume(v, units)],
  ['grid_kwh', v => `${whole(v)} kWh`],
  ['starts_per_day', v => v.toFixed(1)],
  ['autonomy_days', v => `${days(v, 60)} d`, true],
  ['site_period_water_worst_d', v => `${days(v, 7)} d`, true],
  ['purchase', v => whole(v)],
  ['replacement_cost', v => whole(v)],
  ['energy_cost', v => whole(v)],
  ['maintenance_cost', v => whole(v)],
  ['life_cycle_cost', v => whole(v)],
];

const nameOf = (name: Row[0]) => name in words.cost_rows ? words.cost_rows[name as keyof typeof words.cost_rows](state.valueOf('prices.currency') || words.no_currency) : words.rows[name as keyof typeof words.rows];

function Shown({found}: {found: Comparison | null}) {
  if (!found) return <p>{words.nothing(texts.keep('A'))}</p>;
  const {designs, best, first, order, cost_note, years_note} = found;
  const shown = rowsFor(state.units.value).filter(([name, , endless]) => designs.every(d => name in d && (endless || d[name] !== null)));
  return <>
    <p><strong>{words.first(first)}</strong> {words.order(order)}</p>
    <DataTable name={texts.view.options} file="options" head={[words.figure, ...designs.map(d => d.name)]}
      rows={shown.map(([name, show]) => [nameOf(name), ...designs.map(d => show(d[name], d) + (best[name]?.includes(d.name) ? ' *' : ''))])} />
    <p class="note">{words.note}</p>
    {[years_note, cost_note].filter(t => t).map(t => <p class="note">{t.replaceAll('\n', ' ')}</p>)}
    <ul>{designs.map(d => <li>{words.reason(d.name, d.reason)}</li>)}</ul>
  </>;
}

export function OptionsView() {
  return <StudyView<Comparison | null> key={state.kept.value.length} title={words.title} work={work} show={found => <Shown found={found} />}>
    {state.kept.value.length > 0 && <ul class="kept">{state.kept.value.map(k => <li>{texts.cloudiness.option(k.name)} <button type="button" onClick={() => void takeKept(k.name)}>{words.use(k.name)}</button> <button type="button" onClick={() => dropKept(k.name)}>{words.forget(k.name)}</button></li>)}</ul>}
  </StudyView>;
}
