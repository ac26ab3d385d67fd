// The year: months with what fed the loads, and each day's lowest SOC and hours short.
import {useMemo} from 'preact/hooks';
import {DataTable} from '../components/DataTable';
import {Plot} from '../components/Plot';
import {dateOfHour, dayText, monthName, number, tenths, volumeOf, volumeUnit, whole} from '../format';
import {axis, base, tooltip, valueAxis, type Palette} from '../plot_theme';
import {inLong} from '../actions';
import {option, units} from '../state';
import {texts} from '../texts';
import type {Hours} from '../types';
import {StudyView} from './StudyView';

const words = texts.year;

export interface Month {
  name: string;
  pv: number;
  load: number;
  backup: number;
  generator_run_h: number;
  short_h: number;
  demand_l: number;
  soc_min: number;
  soc_mean: number;
}

export function monthsOf(h: Hours): Month[] {
  const months = Array.from({length: 12}, (_, m): Month => ({name: monthName(m), pv: 0, load: 0, backup: 0, generator_run_h: 0, short_h: 0, demand_l: 0, soc_min: 1, soc_mean: 0}));
  const counts = new Array<number>(12).fill(0);
  h.soc.forEach((soc, i) => {
    const {month} = dateOfHour(h.first_hour + i), m = months[month]!;
    m.pv += h.pv_kw[i]!;
    m.load += h.load_kw[i]!;
    m.backup += h.backup_kw[i]!;
    m.generator_run_h += h.generator_run_h[i]!;
    m.short_h += h.short_l[i]! > 0 ? 1 : 0;
    m.demand_l += h.demand_l[i]!;
    m.soc_min = Math.min(m.soc_min, soc);
    m.soc_mean += soc;
    ++counts[month]!;
  });
  months.forEach((m, i) => { m.soc_mean /= Math.max(1, counts[i]!); });
  return months;
}

export interface Day {
  first_hour: number;
  soc_min: number;
  soc_max: number;
  pv: number;
  backup: number;
  short_h: number;
}
export function daysOf(h: Hours): Day[] {
  const days: Day[] = [];
  for (let from = 0; from + 24 <= h.soc.length; from += 24) {
    const of = (values: number[]) => values.slice(from, from + 24), sum = (values: number[]) => of(values).reduce((a, b) => a + b, 0);
    days.push({first_hour: h.first_hour + from, soc_min: Math.min(...of(h.soc)), soc_max: Math.max(...of(h.soc)), pv: sum(h.pv_kw), backup: sum(h.backup_kw), short_h: of(h.short_l).filter(v => v > 0).length});
  }
  return days;
}

export function yearOption(days: Day[], min_soc: number) {
  return (p: Palette, width: number) => ({
    ...base(p),
    grid: [{left: 48, right: 14, top: 26, height: 130}, {left: 48, right: 14, top: 190, height: 90}, {left: 48, right: 14, top: 312, height: 34}],
    xAxis: [0, 1, 2].map(i => axis(p, {type: 'category', gridIndex: i, data: days.map(d => dayText(d.first_hour)), boundaryGap: true, axisTick: {show: false}, axisLabel: {show: i === 2, color: p.color('soft-ink'), fontSize: 12, hideOverlap: true, interval: (day: number) => dateOfHour(days[day]!.first_hour).day === 1 && (width >= 520 || dateOfHour(days[day]!.first_hour).month % 2 === 0), formatter: (day: string) => day.replace(/^1 /, '')}})),
    yAxis: [valueAxis(p, words.axis.soc, {gridIndex: 0, min: 0, max: 100, interval: 25}), valueAxis(p, words.axis.energy, {gridIndex: 1, splitNumber: 3}), valueAxis(p, words.axis.short, {gridIndex: 2, interval: 24, min: 0, max: 24})],
    axisPointer: {link: [{xAxisIndex: 'all'}]},
    tooltip: tooltip(p, items => dayWords(days[items[0]?.dataIndex ?? 0]!).join('<br>')),
    series: [
      {type: 'line', name: words.series.low, data: days.map(d => 100 * d.soc_min), symbol: 'none', lineStyle: {color: p.color('battery'), width: 2},
        markLine: {symbol: 'none', silent: true, data: [{yAxis: 100 * min_soc, label: {formatter: words.min_soc, position: 'insideStartTop', color: p.color('ink')}, lineStyle: {color: p.color('ink'), type: 'dashed'}}]}},
      {type: 'line', name: words.series.high, data: days.map(d => 100 * d.soc_max), symbol: 'none', lineStyle: {color: p.color('battery'), width: 1, type: 'dotted'}},
      {type: 'bar', name: words.series.pv, stack: 'energy', xAxisIndex: 1, yAxisIndex: 1, data: days.map(d => d.pv), itemStyle: {color: p.color('sun')}, barCategoryGap: '10%'},
      {type: 'bar', name: words.series.backup, stack: 'energy', xAxisIndex: 1, yAxisIndex: 1, data: days.map(d => d.backup), itemStyle: {color: p.color('generator')}},
      {type: 'bar', name: words.series.short, xAxisIndex: 2, yAxisIndex: 2, data: days.map(d => d.short_h), itemStyle: {color: p.color('nothing')}, barMinWidth: 1},
    ],
  });
}
const dayWords = (d: Day) => [dayText(d.first_hour), words.day.soc(number(100 * d.soc_min), number(100 * d.soc_max)), words.day.pv(number(d.pv)), words.day.backup(number(d.backup)), words.day.short(d.short_h)];

function Shown({h}: {h: Hours}) {
  const days = useMemo(() => daysOf(h), [h]), plot = useMemo(() => yearOption(days, h.min_soc), [days]), of = units.value;
  return <>
    <ul class="legend"><li class="battery">{words.legend.soc}</li><li class="sun">{words.legend.pv}</li><li class="generator">{words.legend.backup}</li><li class="ink">{words.legend.short}</li></ul>
    <Plot label={texts.view.year} height={390} option={plot} count={days.length} page={7} describe={i => dayWords(days[i]!)} />
    <h4>{words.found}</h4>
    <dl class="found">{h.lines.map(line => <div><dt>{line.label}</dt><dd>{line.text}</dd></div>)}</dl>
    <DataTable name={texts.view.year} file="the-year" head={[...words.head(volumeUnit(of))]}
      rows={monthsOf(h).map(m => [m.name, ...[m.pv, m.load, m.backup, m.generator_run_h].map(tenths), whole(volumeOf(m.demand_l, of)), String(m.short_h), ...[m.soc_min, m.soc_mean].map(v => tenths(100 * v))])} />
  </>;
}

export const YearView = () => <StudyView<Hours> title={words.title} ask={() => inLong<Hours>('hours', {year: 'typical', option: option.value, units: units.value})} show={h => <Shown h={h} />} />;
