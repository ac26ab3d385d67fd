// A plot that is read with the pointer or with the arrow keys; the read-out is text below it.
import type {EChartsType} from 'echarts/core';
import {useEffect, useRef, useState} from 'preact/hooks';
import {plotLibrary} from '../plot_library';
import {palette, type Palette} from '../plot_theme';
import {theme} from '../state';
import {texts} from '../texts';

export interface PlotProps {
  label: string;
  height: number;
  option: (p: Palette, width: number) => object;
  /** How many places the read-out has; 0: none. */
  count: number;
  describe: (i: number) => string[];
  /** Where the read-out begins. */
  start?: number;
  /** How far Page Up and Page Down move. */
  page?: number;
  /** How far Arrow Up moves, and Arrow Down back: a row of a map. */
  row?: number;
  /** The data index of a place, in series 0. */
  indexOf?: (i: number) => number;
  onChoose?: (i: number) => void;
  zoom?: boolean;
}

export function Plot({label, height, option, count, describe, start = 0, page = 24, row, indexOf = i => i, onChoose, zoom}: PlotProps) {
  const box = useRef<HTMLDivElement>(null);
  const chart = useRef<EChartsType | null>(null);
  const [at, setAt] = useState<number | null>(null);
  const [focused, setFocused] = useState(false);  // the read-out speaks only then, and not when the design changes
  const place = at ?? start;
  const latest = useRef({describe, onChoose, option});
  latest.current = {describe, onChoose, option};

  // The palette is that of the theme that is shown.
  const draw = () => chart.current?.setOption(latest.current.option(palette(), box.current!.clientWidth) as Record<string, unknown>, true);
  useEffect(() => {
    const element = box.current!;
    let gone = false;
    const resize = new ResizeObserver(() => chart.current?.resize({width: element.clientWidth, height}));
    void plotLibrary().then(init => {
      if (gone) return;
      chart.current = init(element, undefined, {renderer: 'svg', height});
      chart.current.on('click', event => latest.current.onChoose?.((event as {dataIndex: number}).dataIndex));
      resize.observe(element);
      draw();
    });
    return () => {
      gone = true;
      resize.disconnect();
      chart.current?.dispose();
      chart.current = null;
    };
  }, [height]);
  useEffect(() => void draw(), [option, theme.value]);

  const move = (to: number) => {
    const next = Math.max(0, Math.min(count - 1, to));
    setAt(next);
    chart.current?.dispatchAction({type: 'downplay', seriesIndex: 0});
    chart.current?.dispatchAction({type: 'highlight', seriesIndex: 0, dataIndex: indexOf(next)});
    chart.current?.dispatchAction({type: 'showTip', seriesIndex: 0, dataIndex: indexOf(next)});
  };
  const scale = (factor: number) => {
    const zooms = (chart.current?.getOption() as {dataZoom?: {start: number; end: number}[]}).dataZoom?.[0];
    if (!zooms) return;
    const middle = count > 1 ? 100 * place / (count - 1) : 50, half = Math.min(50, Math.max(0.2, (zooms.end - zooms.start) * factor / 2));
    const from = Math.max(0, Math.min(100 - 2 * half, middle - half));
    chart.current?.dispatchAction({type: 'dataZoom', start: from, end: from + 2 * half});
  };
  const onKeyDown = (event: KeyboardEvent) => {
    const steps: Record<string, () => void> = {
      ArrowRight: () => move(place + 1), ArrowLeft: () => move(place - 1), ArrowDown: () => move(place + (row ? -row : 1)), ArrowUp: () => move(place + (row ?? -1)),
      PageDown: () => move(place + page), PageUp: () => move(place - page), Home: () => move(0), End: () => move(count - 1),
      Enter: () => latest.current.onChoose?.(place), '+': () => scale(0.5), '-': () => scale(2)};
    const step = steps[event.key];
    if (!step || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    step();
  };
  return <div class="plot">
    <div ref={box} class="plot-box" style={{height: `${height}px`}} tabIndex={0} role="application" aria-roledescription={texts.plot} aria-label={`${label}. ${texts.readout_help}`} onKeyDown={onKeyDown}
      onFocus={() => setFocused(true)} onBlur={() => setFocused(false)} />
    {zoom && <p class="tools"><button type="button" onClick={() => scale(0.5)}>{texts.zoom_in}</button><button type="button" onClick={() => scale(2)}>{texts.zoom_out}</button></p>}
    {count > 0 && <p class="readout" aria-live={focused ? 'polite' : 'off'}>{describe(place).join(' · ')}</p>}
  </div>;
}
