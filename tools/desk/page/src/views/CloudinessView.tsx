// How long the water lasts by how cloudy it is, one line per option.
import {useMemo} from 'preact/hooks';
import {DataTable} from '../components/DataTable';
import {Plot} from '../components/Plot';
import {base, dashes, symbols, tooltip, underAxis, valueAxis, type Palette} from '../plot_theme';
import {design, kept, option, options} from '../state';
import {loadDesign, type Port} from '../port';
import {texts} from '../texts';
import type {Answer, Cloudiness, SitePeriod} from '../types';
import {StudyView, type Progress} from './StudyView';

interface Lines {
  shares: number[];
  most: number;
  lines: {name: string; days: (number | null)[]}[];
  periods: SitePeriod[];
}

const words = texts.cloudiness;

async function work(port: Port, progress: Progress): Promise<Answer<Lines>> {
  const asked: {name: string; option: string; text?: string}[] = [{name: texts.base_design, option: ''}, ...options.value.map(name => ({name, option: name})),
    ...kept.value.map(k => ({name: words.option(k.name), option: '', text: k.text}))];
  const of = design.value!;
  const lines: Lines['lines'] = [];
  let shares: number[] = [], most = 60;
  for (const {name, option: of_file, text} of asked) {
    if (text !== undefined) {
      const loaded = await loadDesign(port, {...of, text});
      if (loaded.error !== undefined) return loaded;
    }
    const found = await port.call<Cloudiness>('cloudiness', {option: of_file}, share => progress.share((lines.length + share) / asked.length));
    if (found.error !== undefined) return found;
    ({shares, most} = found.answer);
    lines.push({name, days: found.answer.days});
  }
  // The site's periods are those of the open design.
  if (kept.value.length > 0) {
    const loaded = await loadDesign(port, of);
    if (loaded.error !== undefined) return loaded;
  }
  const periods = await port.call<SitePeriod[]>('site_periods', {option: option.value});
  if (periods.error !== undefined) return periods;
  return {answer: {shares, most, lines, periods: periods.answer}};
}

const daysText = (d: number | null, most: number) => d === null ? texts.over(most) : d.toFixed(1);

const percentOf = (share: number) => Math.round(1000 * share) / 10;
const siteName = (period: SitePeriod) => words.site[period.source]!;

export function cloudinessOption({shares, lines, periods}: Lines) {
  return (p: Palette, width: number) => ({
    ...base(p), grid: {left: 48, right: width < 520 ? 14 : 110, top: 60, bottom: 48},
    xAxis: underAxis(p, words.axis.light, {type: 'value', min: 0, max: percentOf(Math.max(...shares))}),
    yAxis: valueAxis(p, words.axis.days, {min: 0, nameGap: 26, nameTextStyle: {color: p.color('soft-ink'), fontSize: 12, align: 'left'}}),
    tooltip: tooltip(p, items => lines.map(l => words.line(l.name, daysText(l.days[items[0]?.dataIndex ?? 0] ?? null, 60))).join('<br>')),
    series: lines.map((l, i) => ({type: 'line', name: l.name, data: l.days.map((d, k) => [percentOf(shares[k]!), d]), symbol: symbols[i % symbols.length], symbolSize: 8,
      endLabel: {show: width >= 520, formatter: l.name, color: p.color('ink'), fontSize: 12}, labelLayout: {moveOverlap: 'shiftY'}, lineStyle: {color: i === 0 ? p.color('water') : p.color('ink'), width: i === 0 ? 3 : 1.5, type: dashes[i % dashes.length]},
      itemStyle: {color: i === 0 ? p.color('water') : p.color('ink')},
      ...i === 0 && {markLine: {symbol: 'none', silent: true, data: periods.filter(s => s.share <= Math.max(...shares)).map((s, k) => ({xAxis: percentOf(s.share),
        label: {formatter: siteName(s), position: k === 0 ? 'end' : 'insideEndTop', color: p.color('ink'), fontSize: 12}, lineStyle: {color: p.color('ink'), type: 'dashed', width: 1}}))}}})),
  });
}

function Shown({found}: {found: Lines}) {
  const plot = useMemo(() => cloudinessOption(found), [found]);
  const describe = (i: number) => [words.share(Math.round(100 * found.shares[i]!)), ...found.lines.map(l => words.line(l.name, daysText(l.days[i] ?? null, found.most)))];
  return <>
    <ul class="legend">{found.lines.map((l, i) => <li>{texts.symbols[i % symbols.length]} {l.name}</li>)}</ul>
    <Plot label={texts.view.cloudiness} height={320} option={plot} count={found.shares.length} page={3} describe={describe} />
    <ul class="note" id="site-periods">{found.periods.map(s => <li>{words.site_period(siteName(s), percentOf(s.share), s.words)}</li>)}</ul>
    <p class="note">{words.note(found.most)}</p>
    <DataTable name={texts.view.cloudiness} file="days-by-cloudiness" head={[words.axis.light, ...found.lines.map(l => words.column(l.name))]}
      rows={found.shares.map((s, i) => [String(Math.round(100 * s)), ...found.lines.map(l => daysText(l.days[i] ?? null, found.most))])} />
  </>;
}

export const CloudinessView = () => <StudyView<Lines> title={words.title} work={work} show={found => <Shown found={found} />} />;
