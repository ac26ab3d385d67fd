// Any key from one value to another: a curve of any figure, a table, CSV.
import {useMemo, useState} from 'preact/hooks';
import {DataTable} from '../components/DataTable';
import {Handles} from '../components/Handles';
import {Plot} from '../components/Plot';
import {number, percent, volume} from '../format';
import {base, tooltip, underAxis, valueAxis, type Palette} from '../plot_theme';
import {scaled} from '../ranges';
import {keys, option, units} from '../state';
import {keepForm, keptForm} from '../store';
import {keyWords} from '../tables';
import {texts} from '../texts';
import type {Answer, ScenarioKey, Units, VerdictRow, Year} from '../types';
import {StudyView} from './StudyView';

const words = texts.vary;
const figures: {of: (y: Year) => number; show: (v: number, units: Units) => string}[] = [
  {of: () => 0, show: number},
  {of: y => y.demand_met_fraction, show: percent},
  {of: y => y.shortage_hours, show: v => `${number(v)} h`},
  {of: y => y.longest_shortage_h, show: v => `${number(v)} h`},
  {of: y => y.soc_min, show: percent},
  {of: y => y.generator_run_h, show: v => `${number(v)} h`},
  {of: y => y.generator_fuel_l, show: volume},
  {of: y => y.grid_kwh, show: v => `${number(v)} kWh`},
  {of: y => y.max_starts_per_day, show: number},
  {of: y => y.pv_curtailed_kwh, show: v => `${number(v)} kWh`},
];

interface Row {
  value: string;
  year: Year | null;
  held: number | null;
  error: string;
}

/** Values from low to high in equal steps, with the unit of both; null: they have none in common. */
export function between(low: string, high: string, steps: number): string[] | null {
  const read = (text: string) => /^\s*(-?[\d.]+)\s*(.*?)\s*$/.exec(text.replace(/^(-?\d+),(\d)/, '$1.$2'));
  const a = read(low), b = read(high);
  if (!a || !b || a[2] !== b[2] || !(steps >= 2)) return null;
  const [from, to] = [Number(a[1]), Number(b[1])];
  return Array.from({length: steps}, (_, i) => `${Number((from + (to - from) * i / (steps - 1)).toPrecision(6))}${a[2] ? ` ${a[2]}` : ''}`);
}

/** The number of a value and what is behind it: "5 kWh" is 5 and " kWh"; null: no number above zero. */
export function positive(text: string): [number, string] | null {
  const found = /^\s*(\d+(?:\.\d+)?)(.*)$/.exec(text);
  return found && Number(found[1]) > 0 ? [Number(found[1]), found[2]!] : null;
}

const figureOf = (row: Row, at: number) => at === 0 ? row.held : row.year && figures[at]!.of(row.year);

function Shown({rows, name, file}: {rows: Row[]; name: string; file: string}) {
  const [at, setAt] = useState(0);
  const of = units.value, name_of = words.figures[at]!;
  const text = (row: Row, i: number) => { const v = figureOf(row, i); return v === null ? row.error || '–' : figures[i]!.show(v, of); };
  const plot = useMemo(() => (p: Palette) => ({
    ...base(p), grid: {left: 60, right: 16, top: 30, bottom: 48}, xAxis: underAxis(p, name, {type: 'category', data: rows.map(r => r.value)}), yAxis: valueAxis(p, name_of, {scale: true, nameTextStyle: {color: p.color('soft-ink'), fontSize: 12, align: 'left'}}),
    tooltip: tooltip(p, items => `${rows[items[0]?.dataIndex ?? 0]!.value}: ${text(rows[items[0]?.dataIndex ?? 0]!, at)}`),
    series: [{type: 'line', data: rows.map(r => figureOf(r, at)), symbol: 'circle', symbolSize: 8, lineStyle: {color: p.color('water'), width: 2}, itemStyle: {color: p.color('water')}}],
  }), [rows, at, of]);
  return <>
    <p><label>{words.figure} <select value={String(at)} onChange={e => setAt(Number(e.currentTarget.value))}>{words.figures.map((f, i) => <option value={String(i)}>{f}</option>)}</select></label></p>
    <Plot label={`${name}: ${name_of}`} height={300} option={plot} count={rows.length} page={3} describe={i => [rows[i]!.value, `${name_of}: ${text(rows[i]!, at)}`]} />
    <DataTable name={texts.view.vary} file={file} head={[name, ...words.figures]} rows={rows.map(r => [r.value, ...figures.map((_, i) => text(r, i))])} />
  </>;
}

type Asked = Record<'key' | 'low' | 'high' | 'steps', string>;
const halfToDouble = (of: ScenarioKey | undefined, steps: string): Asked => ({key: of?.key ?? '', low: scaled(of?.shown ?? '', 0.5) ?? '', high: scaled(of?.shown ?? '', 2) ?? '', steps});
// What was typed before, while the key has the value of which it was typed.
function keptOf(numeric: ScenarioKey[]): Asked | null {
  const {key = '', low = '', high = '', steps = '', of} = keptForm('vary');
  return numeric.some(k => k.key === key && k.shown === of) ? {key, low, high, steps} : null;
}

export function VaryView() {
  const numeric = keys.value.filter(k => /^-?\d+(\.\d+)?( [^,;]*)?$/.test(k.shown) && !/^(provenance|assumed_range|option|search)\./.test(k.key));
  const usual = numeric.find(k => k.key === 'battery.capacity') ?? numeric[0];
  const [asked, change] = useState(() => keptOf(numeric) ?? halfToDouble(usual, '7'));
  const setAsked = (next: Asked) => {
    change(next);
    keepForm('vary', {...next, of: numeric.find(k => k.key === next.key)?.shown ?? ''});
  };
  const [run, setRun] = useState<{key: string; values: string[]} | null>(null);
  const [wrong, setWrong] = useState('');
  const choose = (key: string) => setAsked(halfToDouble(numeric.find(k => k.key === key), asked.steps));
  const go = (of = asked) => {
    const steps = Number(of.steps), values = between(of.low, of.high, steps);
    setWrong(!values ? words.wrong_ends : !(steps <= 100 && Number.isInteger(steps)) ? words.wrong_steps : '');
    if (values && steps <= 100) setRun({key: of.key, values});
  };
  const move = (end: 0 | 1, value: string, let_go: boolean) => {
    const next = {...asked, [end === 0 ? 'low' : 'high']: value};
    setAsked(next);
    if (let_go && run) go(next);
  };
  const middle = positive(numeric.find(k => k.key === asked.key)?.shown ?? ''), low = positive(asked.low), high = positive(asked.high);
  return <>
    <h3>{words.title}</h3>
    <form class="tools" onSubmit={event => { event.preventDefault(); go(); }} id="vary">
      <label>{words.key} <select value={asked.key} onChange={e => choose(e.currentTarget.value)}>{numeric.map(k => <option value={k.key}>{keyWords(k.key)}{k.entry ? ` (${k.entry})` : ''}</option>)}</select></label>
      <label>{words.from} <input name="low" size={9} value={asked.low} onInput={e => setAsked({...asked, low: e.currentTarget.value})} /></label>
      <label>{words.to} <input name="high" size={9} value={asked.high} onInput={e => setAsked({...asked, high: e.currentTarget.value})} /></label>
      <label>{words.values} <input name="steps" size={4} value={asked.steps} onInput={e => setAsked({...asked, steps: e.currentTarget.value})} /></label>
      {middle && low && high && <Handles middle={middle[0]} ends={[low[0], high[0]]} names={[words.from, words.to]} show={v => `${v}${middle[1]}`}
        onMove={(end, value, let_go) => move(end, `${value}${middle[1]}`, let_go)} />}
      <button>{texts.run}</button>
    </form>
    <p class="wrong" role="alert">{wrong}</p>
    {run && <StudyView<Row[]> key={run.key + run.values.join()} title={keyWords(run.key)} show={rows => <Shown rows={rows} name={keyWords(run.key)} file={run.key} />}
      work={async (port, progress): Promise<Answer<Row[]>> => {
        const rows: Row[] = [];
        const text = (await port.call<string>('save')).answer!;
        const sets = run.values.map(value => [{key: run.key, value}]);
        progress.steps(0, run.values.length);
        const held = await port.call<VerdictRow[]>('verdicts', {sets, units: units.value, option: option.value});
        if (held.error !== undefined) return held;
        for (const [i, value] of run.values.entries()) {
          progress.steps(rows.length, run.values.length);
          await port.call('set_text', {text});
          const set = await port.call('set_key', {key: run.key, value, units: units.value});
          const year = set.error !== undefined ? null : await port.call<Year>('year', {years: 0, option: option.value});
          rows.push({value, year: year?.answer ?? null, held: held.answer[i]!.held ?? null, error: set.error ?? year?.error ?? ''});
        }
        return {answer: rows};
      }} />}
  </>;
}
