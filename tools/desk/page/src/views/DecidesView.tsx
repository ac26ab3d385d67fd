// What decides: each input tried at both ends of its range. A handle sets an end; "Use this" sets the value itself.
import {useState} from 'preact/hooks';
import {DataTable} from '../components/DataTable';
import {setKey} from '../actions';
import {number} from '../format';
import {inputOf, leading, rangesToTry, scaled, tried_years, type Range} from '../ranges';
import {deciding, option, valueOf} from '../state';
import {keyWords} from '../tables';
import {texts} from '../texts';
import type {SensitivityEnd, SensitivityInput} from '../types';
import {StudyView} from './StudyView';

/** "96 / 120 / 144 ft"; each with its own unit where they differ. */
export function threeOf(...values: [string, string, string]): string {
  const found = values.map(v => leading.exec(v)), unit = found[0]?.[2];
  return unit !== undefined && found.every(f => f?.[2] === unit) ? found.map(f => f![1]).join(' / ') + unit : values.join(' / ');
}

const figures = ['shortage_hours', 'generator_run_h', 'grid_kwh'] as const;

const head = texts.decides.head;
/** The figures that the design has at all. */
const used = (inputs: SensitivityInput[]) => figures.filter((f, i) => i === 0 || inputs.some(input => [input.low, input.base_design, input.high].some(e => e[f] > 0)));

/** The value of an end whose handle is drawn by `drawn` of the line's width, which is `span` of the figure: where the bar ends there,
    if the figure goes on as between its ends. Where it hardly changes, the whole width doubles the value. Null: not a number. */
export function drawnTo({low, high}: SensitivityInput, end: 'low' | 'high', drawn: number, span: number, of: (e: SensitivityEnd) => number): string | null {
  const from = {low, high}[end].value, value = number_of(from), apart = of(high) - of(low);
  if (value === null) return null;
  const a = number_of(low.value), b = number_of(high.value);
  const by = a !== null && b !== null && Math.abs(apart) > 0.02 * span ? drawn * span * (b - a) / apart : drawn * value;
  return scaled(from, Math.min(4, Math.max(0.25, (value + by) / value)));
}
const number_of = (text: string) => { const n = Number(leading.exec(text)?.[1] ?? 0); return n === 0 ? null : n; };

interface Bar {
  input: SensitivityInput;
  low: number;
  base: number;
  high: number;
}

function Bars({inputs, set}: {inputs: SensitivityInput[]; set: (input: string, end: 'low' | 'high', value: string) => void}) {
  const words = texts.decides;
  const [moved, setMoved] = useState<{input: string; end: 'low' | 'high'; value: string; by: number} | null>(null);
  const movedTo = (input: SensitivityInput, end: 'low' | 'high') => moved?.input === input.input && moved.end === end ? moved : null;
  const shown = figures.find(f => inputs.some(i => [i.low, i.base_design, i.high].some(e => e[f] > 0))) ?? figures[0];
  const of = (end: SensitivityEnd) => end[shown];
  const bars: Bar[] = inputs.map(input => ({input, low: of(input.low), base: of(input.base_design), high: of(input.high)}))
    .sort((a, b) => Math.abs(b.high - b.low) - Math.abs(a.high - a.low));
  const most = Math.max(1e-9, ...bars.flatMap(b => [b.low, b.base, b.high])), least = Math.min(...bars.flatMap(b => [b.low, b.base, b.high]));
  const x = (v: number) => 100 * (v - least) / Math.max(1e-9, most - least);
  const drag = (input: SensitivityInput, end: 'low' | 'high') => (event: PointerEvent) => {
    const handle = event.currentTarget as HTMLElement, track = handle.parentElement!.getBoundingClientRect(), from = event.clientX;
    handle.setPointerCapture(event.pointerId);
    const valueAt = (e: PointerEvent) => drawnTo(input, end, (e.clientX - from) / track.width, most - least, of);
    const move = (e: PointerEvent) => {
      const value = valueAt(e);
      if (value) setMoved({input: input.input, end, value, by: Math.min(track.right, Math.max(track.left, e.clientX)) - from});
    };
    const done = (e: PointerEvent) => {
      handle.removeEventListener('pointermove', move);
      handle.removeEventListener('pointerup', done);
      handle.removeEventListener('pointercancel', done);
      setMoved(null);
      const value = valueAt(e);
      if (value && e.type === 'pointerup' && Math.abs(e.clientX - from) > 3) set(input.input, end, value);
    };
    handle.addEventListener('pointermove', move);
    handle.addEventListener('pointerup', done);
    handle.addEventListener('pointercancel', done);
  };
  const nudge = (input: SensitivityInput, end: 'low' | 'high') => (event: KeyboardEvent) => {
    const factor = {ArrowRight: 1.05, ArrowUp: 1.05, ArrowLeft: 1 / 1.05, ArrowDown: 1 / 1.05}[event.key];
    const next = factor && scaled(input[end].value, factor);
    if (!next) return;
    event.preventDefault();
    set(input.input, end, next);
  };
  return <>
    <p class="note">{words.note(words.figures[shown], number(least), number(most))}</p>
    <div class="bars">{bars.map(({input, low, base, high}) => <div class="bar" key={input.input}>
      <span class="bar-name">{keyWords(input.input)}</span>
      <div class="track">
        <span class="fill" style={{left: `${x(Math.min(low, high))}%`, width: `${Math.max(0.4, Math.abs(x(high) - x(low)))}%`}} />
        <span class="base" style={{left: `${x(base)}%`}} />
        {([['low', low], ['high', high]] as const).map(([end, value]) => <button type="button" class={`handle ${(end === 'low') === (low <= high) ? 'left' : 'right'}`} style={{left: `${x(value)}%`, marginLeft: `${movedTo(input, end)?.by ?? 0}px`}} onPointerDown={drag(input, end)} onKeyDown={nudge(input, end)}
          aria-label={words.handle(keyWords(input.input), words.ends[end], input[end].value, `${number(value)} ${words.figures[shown]}`)}>{(end === 'low') === (low <= high) ? '◀' : '▶'}</button>)}
      </div>
      <span class="bar-ends">{(['low', 'high'] as const).map(end => <button type="button" disabled={!!input[end].problem} onClick={() => void setKey(input.input, input[end].value)}>{words.use(movedTo(input, end)?.value ?? input[end].value)}</button>)}</span>
    </div>)}</div>
  </>;
}

export function DecidesView() {
  const [own, setOwn] = useState<Record<string, Partial<Range>>>({});
  const [round, setRound] = useState(0);
  const tried = () => rangesToTry().map(r => ({...r, ...own[r.input]}));
  const set = (input: string, end: 'low' | 'high', value: string) => {
    setOwn({...own, [input]: {...own[input], [end]: value}});
    setRound(round + 1);
  };
  return <StudyView<{inputs: SensitivityInput[]; not_tried: string[]}> key={round} title={texts.decides.title}
    work={async (port, progress) => {
      const inputs: SensitivityInput[] = [], not_tried: string[] = [];
      const list = tried();
      // One after the other, so that there is progress, and one that the design refuses does not stop the others.
      for (const r of list) {
        progress.steps(inputs.length + not_tried.length, list.length);
        const found = await port.call<{inputs: SensitivityInput[]}>('sensitivity', {inputs: [inputOf(r)], option: option.value, years: tried_years});
        if (found.error !== undefined) not_tried.push(`${keyWords(r.input)}: ${found.error}`);
        else inputs.push(...found.answer.inputs);
      }
      deciding.value = inputs.filter(i => i.flipped.length > 0).map(i => i.input);
      return {answer: {inputs, not_tried}};
    }}
    show={({inputs, not_tried}) => <>
      <Bars inputs={inputs} set={set} />
      <DataTable name={texts.view.decides} file="what-decides" text={[1, 2 + used(inputs).length]} in_line={[1]} head={[head.input, head.values, ...used(inputs).map(f => head[f]), head.verdicts]}
        rows={inputs.map(i => [keyWords(i.input), threeOf(i.low.value, valueOf(i.input), i.high.value), ...used(inputs).map(f =>
          [i.low, i.base_design, i.high].map(e => e.problem ? '–' : number(e[f])).join(' / ')), i.flipped.map(f => `${f.verdict}: ${f.at_low} / ${f.base_design} / ${f.at_high}`).join('; ') || texts.decides.none_turns])} />
      {not_tried.map(words => <p class="note">{texts.not_tried(words)}</p>)}
      <p class="note">{texts.decides.about(tried_years)}</p>
    </>} />;
}
