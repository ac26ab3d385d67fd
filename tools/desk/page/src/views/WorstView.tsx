// The worst winter hour by hour: SOC with its minimum, power in and out, water in store with shortages, and what feeds the loads.
import {useMemo} from 'preact/hooks';
import {DataTable} from '../components/DataTable';
import {Plot} from '../components/Plot';
import {clock, dayText, number, volume, volumeOf, volumeUnit} from '../format';
import {axis, base, tooltip, valueAxis, type Palette} from '../plot_theme';
import {inLong} from '../actions';
import {option, units} from '../state';
import {texts} from '../texts';
import type {Hours, Units} from '../types';
import {StudyView} from './StudyView';

const words = texts.worst;
const around_h = 72;

/** Places in the run of hours that count from 1 January; a run may begin in any month. */
export function placed(h: Hours): Hours {
  const n = h.soc.length, at = (hour: number) => ((hour - h.first_hour) % n + n) % n;
  if (h.from === null || h.to === null) return h;
  const from = at(h.from);
  return {...h, from, to: Math.min(n, from + h.to - h.from)};
}

/** The words for an hour of the run. */
export function hourWords(h: Hours, i: number, of: Units): string[] {
  const say = texts.hour_words;
  const list = [`${dayText(h.first_hour + i)} ${clock(h.first_hour + i)}`, say.soc(number(100 * h.soc[i]!)), say.pv(number(h.pv_kw[i]!)), say.load(number(h.load_kw[i]!))];
  if (h.backup_kw[i]! > 0) list.push(say.power(h.backup, number(h.backup_kw[i]!)));
  list.push(say.store(h.store, volume(h.store_l[i]!, of)), say.fed_by(words.sources[h.source[i]!] ?? ''));
  if (h.short_l[i]! > 0) list.push(say.short(volume(h.short_l[i]!, of)));
  return list;
}

/** Runs of equal letters: [first, behind last, letter]. */
export function runsOf(letters: string): [number, number, string][] {
  const runs: [number, number, string][] = [];
  for (let i = 0; i < letters.length;) {
    let end = i + 1;
    while (end < letters.length && letters[end] === letters[i]) ++end;
    runs.push([i, end, letters[i]!]);
    i = end;
  }
  return runs;
}

export function hoursOption(h: Hours, of: Units) {
  return (p: Palette, width: number) => {
    const n = h.soc.length, small = width < 520, left = small ? 46 : 58, right = 14;
    const from = Math.max(0, (h.from ?? 0) - around_h), to = Math.min(n - 1, (h.to ?? Math.min(n, 14 * 24)) + around_h);
    const tops = [26, 190, 320, 420], heights = [126, 92, 62, 26];
    const hours = h.soc.map((_, i) => String(i));
    const label = (value: string) => dayText(h.first_hour + Number(value));
    const line = {type: 'line', symbol: 'none', sampling: 'lttb'};
    const color: Record<string, string> = {s: p.color('sun'), b: p.color('battery'), r: p.color('grid'), g: p.color('generator'), x: p.color('nothing'), '!': p.color('nothing')};
    const soc_line = (y: number, words: string, position: string) => ({yAxis: y, label: {formatter: words, position, color: p.color('ink'), fontSize: 11, backgroundColor: p.color('paper'), padding: [1, 2]},
      lineStyle: {color: p.color('ink'), type: 'dashed', width: 1}});
    return {
      ...base(p),
      grid: tops.map((top, i) => ({left, right, top, height: heights[i]})),
      xAxis: tops.map((_, i) => axis(p, {type: 'category', data: hours, gridIndex: i, boundaryGap: false, axisTick: {show: false}, splitLine: {show: false},
        axisLabel: {show: i === 3, color: p.color('soft-ink'), fontSize: 12, hideOverlap: true, interval: (i: number) => (h.first_hour + i) % 24 === 0, formatter: label}})),
      yAxis: [
        valueAxis(p, words.axis.soc, {gridIndex: 0, min: 0, max: 100, interval: 25}), valueAxis(p, words.axis.power, {gridIndex: 1, splitNumber: 3}),
        valueAxis(p, words.axis.store(h.store, volumeUnit(of)), {gridIndex: 2, splitNumber: 2, min: 0}),
        axis(p, {type: 'category', data: [words.short, words.fed_by], gridIndex: 3, axisLine: {show: false}, axisTick: {show: false}}),
      ],
      axisPointer: {link: [{xAxisIndex: 'all'}]},
      tooltip: tooltip(p, items => hourWords(h, items[0]?.dataIndex ?? 0, of).join('<br>')),
      dataZoom: [
        {type: 'inside', xAxisIndex: [0, 1, 2, 3], filterMode: 'weakFilter', startValue: from, endValue: to, minValueSpan: 12, zoomOnMouseWheel: 'ctrl', moveOnMouseWheel: false, preventDefaultMouseMove: false},
        {type: 'slider', xAxisIndex: [0, 1, 2, 3], filterMode: 'weakFilter', startValue: from, endValue: to, minValueSpan: 12, bottom: 4, height: 22, left, right, showDetail: false, showDataShadow: false, brushSelect: false,
          borderColor: p.color('line'), fillerColor: 'rgba(31,95,168,0.18)', handleStyle: {color: p.color('paper'), borderColor: p.color('ink')}, moveHandleSize: 0},
      ],
      series: [
        {...line, name: words.soc, xAxisIndex: 0, yAxisIndex: 0, data: h.soc.map(v => 100 * v), lineStyle: {color: p.color('battery'), width: 2}, itemStyle: {color: p.color('battery')},
          markLine: {symbol: 'none', silent: true, data: [soc_line(100 * h.min_soc, words.min_soc(number(100 * h.min_soc)), 'insideStartTop'),
            ...h.transfer_below === null ? [] : [soc_line(100 * h.transfer_below, words.backup_at(h.backup.replace(/ and .*/, ''), number(100 * h.transfer_below)), 'insideEndTop')]]}},
        {...line, name: words.pv, xAxisIndex: 1, yAxisIndex: 1, step: 'end', data: h.pv_kw, lineStyle: {color: p.color('sun'), width: 1.5}, areaStyle: {color: p.color('sun'), opacity: 0.3}},
        {...line, name: h.backup || words.backup, xAxisIndex: 1, yAxisIndex: 1, step: 'end', data: h.backup_kw, lineStyle: {color: p.color('generator'), width: 1, type: 'dotted'}, areaStyle: {color: p.color('generator'), opacity: 0.5}},
        {...line, name: words.load, xAxisIndex: 1, yAxisIndex: 1, step: 'end', data: h.load_kw, lineStyle: {color: p.color('ink'), width: 1.25}},
        {...line, name: h.store, xAxisIndex: 2, yAxisIndex: 2, data: h.store_l.map(v => volumeOf(v, of)), lineStyle: {color: p.color('water'), width: 1.5}, areaStyle: {color: p.color('water'), opacity: 0.2}},
        {type: 'custom', name: words.fed_by, xAxisIndex: 3, yAxisIndex: 3, silent: true, encode: {x: [0, 1], y: 2},
          data: [...runsOf(h.source).map(([a, b, s]) => [a, b, 1, s]), ...runsOf(h.short_l.map(v => v > 0 ? '!' : '.').join('')).filter(r => r[2] === '!').map(([a, b, s]) => [a, b, 0, s])],
          renderItem: (params: {coordSys: {x: number; width: number}}, api: {value(i: number): number; coord(v: number[]): number[]; size(v: number[]): number[]}) => {
            const a = api.coord([api.value(0), 0])[0]!, b = api.coord([api.value(1), 0])[0]!, y = api.coord([0, api.value(2)])[1]!, high = api.size([0, 1])[1]! * 0.8;
            const x = Math.max(a, params.coordSys.x), end = Math.min(Math.max(b, a + 1), params.coordSys.x + params.coordSys.width);
            return end <= x ? null : {type: 'rect', shape: {x, y: y - high / 2, width: end - x, height: high}, style: {fill: color[String(api.value(3))] ?? p.color('line')}};
          }},
      ],
    };
  };
}

function rowsOf(h: Hours, from: number, to: number, of: Units): string[][] {
  return Array.from({length: Math.max(0, to - from)}, (_, k) => {
    const i = from + k;
    return [`${dayText(h.first_hour + i)} ${clock(h.first_hour + i)}`, number(100 * h.soc[i]!), number(h.pv_kw[i]!), number(h.load_kw[i]!), number(h.backup_kw[i]!),
      number(volumeOf(h.store_l[i]!, of)), words.sources[h.source[i]!] ?? '', h.short_l[i]! > 0 ? number(volumeOf(h.short_l[i]!, of)) : ''];
  });
}

function Shown({h}: {h: Hours}) {
  const of = units.value, n = h.soc.length;
  const option = useMemo(() => hoursOption(h, of), [h, of]);
  const from = Math.max(0, (h.from ?? 0) - around_h), to = Math.min(n, (h.to ?? 14 * 24) + around_h);
  return <>
    <p>{h.words || h.name}</p>
    <ul class="legend">
      <li class="battery">{words.soc}</li><li class="sun">{words.pv}</li><li class="ink">{words.load}</li>{h.backup && <li class="generator">{h.backup}</li>}<li class="water">{words.water_in(h.store)}</li>
      <li>{words.bands(h.backup)}</li>
    </ul>
    <Plot label={texts.view.worst} height={490} option={option} count={n} start={h.from ?? 0} describe={i => hourWords(h, i, of)} zoom />
    <DataTable folded name={texts.view.worst} file="worst-winter" text={[6]}
      head={words.head(h.store, volumeUnit(of))} rows={rowsOf(h, from, to, of)} />
  </>;
}

export const WorstView = () => <StudyView<Hours> title={words.title} show={h => <Shown h={h} />} ask={async () => {
  const found = await inLong<Hours>('hours', {year: 'worst', option: option.value});
  return found.answer ? {answer: placed(found.answer)} : found;
}} />;
