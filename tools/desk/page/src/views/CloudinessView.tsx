// How long the water lasts by how cloudy it is, one line per option.
import {useMemo} from 'preact/hooks';
import {DataTable} from '../components/DataTable';
import {Plot} from '../components/Plot';
import {base, dashes, symbols, tooltip, underAxis, valueAxis, type Palette} from '../plot_theme';
import {design, kept, options} from '../state';
import {loadDesign, type Port} from '../port';
import {texts} from '../texts';
import type {Answer, Cloudiness} from '../types';
import {StudyView, type Progress} from './StudyView';

interface Lines {
  shares: number[];
  most: number;
  lines: {name: string; days: (number | null)[]}[];
}

const words = texts.cloudiness;

async function work(port: Port, progress: Progress): Promise<Answer<Lines>> {
  const asked: {name: string; option: string; text?: string}[] = [{name: texts.base_design, option: ''}, ...options.value.map(name => ({name, option: name})),
    ...kept.value.map(k => ({name: words.option(k.name), option: '', text: k.text}))];
  const of = design.value!;
  const lines: Lines['lines'] = [];
  let shares: number[] = [], most = 60;
  for (const {name, option, text} of asked) {
    progress(lines.length, asked.length);
    if (text !== undefined) {
      const loaded = await loadDesign(port, {...of, text});
      if (loaded.error !== undefined) return loaded;
    }
    const found = await port.call<Cloudiness>('cloudiness', {option});
    if (found.error !== undefined) return found;
    ({shares, most} = found.answer);
    lines.push({name, days: found.answer.days});
  }
  return {answer: {shares, most, lines}};
}

const daysText = (d: number | null, most: number) => d === null ? texts.over(most) : d.toFixed(1);

export function cloudinessOption({shares, lines}: Lines) {
  return (p: Palette, width: number) => ({
    ...base(p), grid: {left: 48, right: width < 520 ? 14 : 110, top: 28, bottom: 48},
    xAxis: underAxis(p, words.axis.light, {type: 'category', data: shares.map(s => String(Math.round(100 * s)))}),
    yAxis: valueAxis(p, words.axis.days, {min: 0, nameTextStyle: {color: p.color('soft-ink'), fontSize: 12, align: 'left'}}),
    tooltip: tooltip(p, items => lines.map(l => words.line(l.name, daysText(l.days[items[0]?.dataIndex ?? 0] ?? null, 60))).join('<br>')),
    series: lines.map((l, i) => ({type: 'line', name: l.name, data: l.days, symbol: symbols[i % symbols.length], symbolSize: 8,
      endLabel: {show: width >= 520, formatter: l.name, color: p.color('ink'), fontSize: 12}, labelLayout: {moveOverlap: 'shiftY'}, lineStyle: {color: i === 0 ? p.color('water') : p.color('ink'), width: i === 0 ? 3 : 1.5, type: dashes[i % dashes.length]},
      itemStyle: {color: i === 0 ? p.color('water') : p.color('ink')}})),
  });
}

function Shown({found}: {found: Lines}) {
  const option = useMemo(() => cloudinessOption(found), [found]);
  const describe = (i: number) => [words.share(Math.round(100 * found.shares[i]!)), ...found.lines.map(l => words.line(l.name, daysText(l.days[i] ?? null, found.most)))];
  return <>
    <ul class="legend">{found.lines.map((l, i) => <li>{texts.symbols[i % symbols.length]} {l.name}</li>)}</ul>
    <Plot label={texts.view.cloudiness} height={320} option={option} count={found.shares.length} page={3} describe={describe} />
    <p class="note">{words.note(found.most)}</p>
    <DataTable name={texts.view.cloudiness} file="days-by-cloudiness" head={[words.axis.light, ...found.lines.map(l => words.column(l.name))]}
      rows={found.shares.map((s, i) => [String(Math.round(100 * s)), ...found.lines.map(l => daysText(l.days[i] ?? null, found.most))])} />
  </>;
}

export const CloudinessView = () => <StudyView<Lines> title={words.title} work={work} show={found => <Shown found={found} />} />;
