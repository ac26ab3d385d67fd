// Array against battery: the share of winters without a shortage in each cell. A click takes the cell; undo brings it back.
import {useMemo, useState} from 'preact/hooks';
import {DataTable} from '../components/DataTable';
import {Plot} from '../components/Plot';
import {setKeys} from '../actions';
import {axis, base, type Palette} from '../plot_theme';
import {scaled} from '../ranges';
import {keys, option, units, valueOf} from '../state';
import {texts} from '../texts';
import type {Answer, VerdictRow} from '../types';
import {StudyView} from './StudyView';

const factors = [0.5, 0.75, 1, 1.5, 2, 3];
const array_keys = ['array.rated_power', 'controller.power_limit', 'controller.current_limit'];
const battery_keys = ['battery.capacity', 'battery.charge_limit', 'battery.discharge_limit'];

const words = texts.sizes;

interface Cell {
  array: string;
  battery: string;
  changes: {key: string; value: string}[];
  held: number;
  years: number;
  needed: number;
  error: string | null;
}
interface Map {
  cells: Cell[];
  arrays: string[];
  batteries: string[];
}

/** The changes of a cell: sizes, and the limits that grow with them. */
export function cellChanges(array: number, battery: number): {key: string; value: string}[] {
  const of = (list: string[], factor: number) => list.filter(key => keys.value.some(k => k.key === key))
    .flatMap(key => { const value = scaled(valueOf(key), factor); return value ? [{key, value}] : []; });
  return [...of(array_keys, array), ...of(battery_keys, battery)];
}

const meets = (c: Cell) => !c.error && c.held >= c.needed;

/** The asked line: the sides between cells that meet the requirement and cells that do not, as [array, battery, to the right]. */
export function askedLine({cells, arrays, batteries}: Map): [number, number, boolean][] {
  const at = (a: number, b: number) => cells.find(c => c.array === arrays[a] && c.battery === batteries[b]);
  const line: [number, number, boolean][] = [];
  arrays.forEach((_, a) => batteries.forEach((_, b) => {
    const here = at(a, b), right = at(a + 1, b), above = at(a, b + 1);
    if (here && right && meets(here) !== meets(right)) line.push([a, b, true]);
    if (here && above && meets(here) !== meets(above)) line.push([a, b, false]);
  }));
  return line;
}

export function sizesOption(map: Map) {
  const {cells, arrays, batteries} = map;
  return (p: Palette, width: number) => ({
    ...base(p), grid: {left: 70, right: 12, top: 16, bottom: 48},
    xAxis: axis(p, {type: 'category', data: arrays, name: words.array, nameLocation: 'middle', nameGap: 28, splitArea: {show: false}}),
    yAxis: axis(p, {type: 'category', data: batteries, name: words.battery, nameGap: 4}),
    series: [{type: 'heatmap', emphasis: {itemStyle: {borderColor: p.color('sun'), borderWidth: 4}}, data: cells.map((c, i) => ({value: [arrays.indexOf(c.array), batteries.indexOf(c.battery), i],
      itemStyle: {color: p.levels[5 - Math.min(5, Math.floor(5.999 * c.held / Math.max(1, c.years)))], borderColor: p.color('line'), borderWidth: 0.5},
      label: {color: c.held / Math.max(1, c.years) > 0.49 ? '#ffffff' : '#14181b'}})),
      label: {show: true, fontSize: width < 520 ? 10 : 13, formatter: ({dataIndex}: {dataIndex: number}) => cells[dataIndex]!.error ? '–' : `${cells[dataIndex]!.held}${meets(cells[dataIndex]!) ? ' ✓' : ''}`}},
    // Light on dark, so that it is seen on every color of the map.
    ...[{z: 5, stroke: p.levels[5], lineWidth: 9}, {z: 6, stroke: p.levels[0], lineWidth: 4}].map(({z, ...style}) => ({type: 'custom', silent: true, z,
      data: askedLine(map).map(([a, b, right]) => [a, b, right ? 1 : 0]), renderItem: (_: unknown, api: {value(i: number): number; coord(v: number[]): number[]; size(v: number[]): number[]}) => {
        const [x, y] = api.coord([api.value(0), api.value(1)]) as [number, number], [w, h] = api.size([1, 1]) as [number, number];
        const shape = api.value(2) === 1 ? {x1: x + w / 2, y1: y - h / 2, x2: x + w / 2, y2: y + h / 2} : {x1: x - w / 2, y1: y - h / 2, x2: x + w / 2, y2: y - h / 2};
        return {type: 'line', shape, style: {...style, lineCap: 'square'}};
      }}))],
  });
}

function Shown({map}: {map: Map}) {
  const [said, setSaid] = useState('');
  const plot = useMemo(() => sizesOption(map), [map]);
  const asked = words.asked[askedLine(map).length > 0 ? 'line' : map.cells.some(meets) ? 'all' : 'none'];
  const describe = (i: number) => { const c = map.cells[i]!; return [words.cell(c.array, c.battery), c.error ?? texts.held_short(c.held, c.years), meets(c) ? words.meets : words.required(c.needed), words.enter_takes]; };
  const take = (i: number) => void setKeys(map.cells[i]!.changes).then(wrong => setSaid(wrong || words.taken(map.cells[i]!.array, map.cells[i]!.battery)));
  const at = (array: string, battery: string) => map.cells.find(c => c.array === array && c.battery === battery)!;
  return <>
    <p class="note">{words.note(Math.max(...map.cells.map(c => c.years)), asked(Math.max(...map.cells.map(c => c.needed))))}</p>
    <Plot label={texts.view.sizes} height={340} option={plot} count={map.cells.length} page={map.arrays.length} row={map.arrays.length} describe={describe} onChoose={take} />
    <p role="status">{said}</p>
    <DataTable folded name={texts.view.sizes} file="other-sizes" head={words.head(map.arrays)} rows={map.batteries.map(b => [b, ...map.arrays.map(a => at(a, b).error ? words.refused : words.of(at(a, b).held, at(a, b).years))])} />
  </>;
}

export function SizesView() {
  if (!keys.value.some(k => k.key === 'array.rated_power') || !keys.value.some(k => k.key === 'battery.capacity'))
    return <><h3>{words.title}</h3><p>{words.cannot}</p></>;
  return <StudyView<Map> byHand title={words.title} show={map => <Shown map={map} />}
    work={async (port, progress): Promise<Answer<Map>> => {
      const cells: Cell[] = [];
      const all = factors.length ** 2, size = (key: string, factor: number) => scaled(valueOf(key), factor) ?? '';
      for (const battery of factors) {
        progress.steps(cells.length, all);
        const sets = factors.map(array => cellChanges(array, battery));
        const found = await port.call<VerdictRow[]>('verdicts', {sets, units: units.value, option: option.value});
        if (found.error !== undefined) return found;
        found.answer.forEach((row, i) => cells.push({array: size('array.rated_power', factors[i]!), battery: size('battery.capacity', battery), changes: sets[i]!,
          held: row.held ?? 0, years: row.years ?? 0, needed: row.needed ?? 0, error: row.error}));
      }
      return {answer: {cells, arrays: factors.map(f => scaled(valueOf('array.rated_power'), f)!), batteries: factors.map(f => scaled(valueOf('battery.capacity'), f)!)}};
    }} />;
}
