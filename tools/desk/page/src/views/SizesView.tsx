// Array against battery: the share of winters without a shortage in each cell. A click takes the cell; undo brings it back.
import {useMemo, useState} from 'preact/hooks';
import {DataTable} from '../components/DataTable';
import {Plot} from '../components/Plot';
import {setKeys} from '../actions';
import {axis, base, type Palette} from '../plot_theme';
import {keys, option, units, valueOf} from '../state';
import {texts} from '../texts';
import type {Answer, VerdictRow} from '../types';
import {scaled} from './DecidesView';
import {StudyView} from './StudyView';

const factors = [0.5, 0.75, 1, 1.5, 2, 3];
const array_keys = ['array.rated_power', 'controller.power_limit', 'controller.current_limit'];
const battery_keys = ['battery.capacity', 'battery.charge_limit', 'battery.discharge_limit'];

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

export function sizesOption({cells, arrays, batteries}: Map) {
  return (p: Palette, width: number) => ({
    ...base(p), grid: {left: 70, right: 12, top: 16, bottom: 48},
    xAxis: axis(p, {type: 'category', data: arrays, name: 'array', nameLocation: 'middle', nameGap: 28, splitArea: {show: false}}),
    yAxis: axis(p, {type: 'category', data: batteries, name: 'battery', nameGap: 4}),
    series: [{type: 'heatmap', data: cells.map((c, i) => ({value: [arrays.indexOf(c.array), batteries.indexOf(c.battery), i],
      itemStyle: {color: p.levels[5 - Math.min(5, Math.floor(5.999 * c.held / Math.max(1, c.years)))], borderColor: c.held >= c.needed ? p.color('ink') : p.color('line'), borderWidth: c.held >= c.needed ? 2 : 0.5},
      label: {color: c.held / Math.max(1, c.years) > 0.49 ? '#ffffff' : '#14181b'}})),
      label: {show: true, fontSize: width < 520 ? 10 : 13, formatter: ({dataIndex}: {dataIndex: number}) => cells[dataIndex]!.error ? '–' : `${cells[dataIndex]!.held}${cells[dataIndex]!.held >= cells[dataIndex]!.needed ? ' ✓' : ''}`}}],
  });
}

function Shown({map}: {map: Map}) {
  const [said, setSaid] = useState('');
  const plot = useMemo(() => sizesOption(map), [map]);
  const words = (i: number) => { const c = map.cells[i]!; return [`array ${c.array}, battery ${c.battery}`, c.error ?? `${c.held} of ${c.years} without a shortage`, c.held >= c.needed ? 'meets the requirement' : `required ${c.needed}`, 'Enter takes this cell']; };
  const take = (i: number) => void setKeys(map.cells[i]!.changes).then(wrong => setSaid(wrong || `Array ${map.cells[i]!.array} and battery ${map.cells[i]!.battery} are in the design. Undo brings back what was.`));
  const at = (array: string, battery: string) => map.cells.find(c => c.array === array && c.battery === battery)!;
  return <>
    <p class="note">Winters without a shortage of {map.cells[0]?.years ?? 0}; ✓ and a heavy line: the requirement is met. Limits of controller and battery grow with the sizes. Click a cell, or move to it with the arrow keys and press Enter, to take it.</p>
    <Plot label={texts.view.sizes} height={340} option={plot} count={map.cells.length} page={map.arrays.length} describe={words} onChoose={take} />
    <p role="status">{said}</p>
    <DataTable folded name={texts.view.sizes} file="other-sizes" head={['battery \\ array', ...map.arrays]} rows={map.batteries.map(b => [b, ...map.arrays.map(a => at(a, b).error ? 'refused' : `${at(a, b).held} of ${at(a, b).years}`)])} />
  </>;
}

export function SizesView() {
  if (!keys.value.some(k => k.key === 'array.rated_power') || !keys.value.some(k => k.key === 'battery.capacity'))
    return <><h3>Would another size be enough?</h3><p>This view varies array.rated_power and battery.capacity. The design states its sizes in another way (modules or units); use “Vary a key”.</p></>;
  return <StudyView<Map> byHand title="Would another size be enough?" show={map => <Shown map={map} />}
    work={async (port, progress): Promise<Answer<Map>> => {
      const cells: Cell[] = [];
      const all = factors.length ** 2, size = (key: string, factor: number) => scaled(valueOf(key), factor) ?? '';
      for (const battery of factors) {
        progress(cells.length, all);
        const sets = factors.map(array => cellChanges(array, battery));
        const found = await port.call<VerdictRow[]>('verdicts', {sets, units: units.value, option: option.value});
        if (found.error !== undefined) return found;
        found.answer.forEach((row, i) => cells.push({array: size('array.rated_power', factors[i]!), battery: size('battery.capacity', battery), changes: sets[i]!,
          held: row.held ?? 0, years: row.years ?? 0, needed: row.needed ?? 0, error: row.error}));
      }
      return {answer: {cells, arrays: factors.map(f => scaled(valueOf('array.rated_power'), f)!), batteries: factors.map(f => scaled(valueOf('battery.capacity'), f)!)}};
    }} />;
}
