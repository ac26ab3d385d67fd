// Two handles on one line, for the ends of a range: drawn with the pointer, or moved with the arrow keys.
export interface HandlesProps {
  /** The middle of the line; it reaches from a quarter of this to four times it. */
  middle: number;
  ends: [number, number];
  names: readonly [string, string];
  show: (value: number) => string;
  /** While a handle moves (`let_go` is false), and when it is let go. */
  onMove: (end: 0 | 1, value: number, let_go: boolean) => void;
}

const steps = 80, reach = 4;
/** The place of a value on the line, 0 .. 2 `steps`; equal distances are equal ratios. */
export const placeOf = (value: number, middle: number) => Math.round(Math.min(2 * steps, Math.max(0, steps * (1 + Math.log(value / middle) / Math.log(reach)))));
export const valueAt = (place: number, middle: number) => Number((middle * reach ** (place / steps - 1)).toPrecision(3));

export function Handles({middle, ends, names, show, onMove}: HandlesProps) {
  return <span class="handles">{([0, 1] as const).map(end =>
    <input type="range" min={0} max={2 * steps} value={placeOf(ends[end], middle)} aria-label={names[end]} aria-valuetext={show(ends[end])}
      onInput={e => onMove(end, valueAt(Number(e.currentTarget.value), middle), false)} onChange={e => onMove(end, valueAt(Number(e.currentTarget.value), middle), true)} />)}</span>;
}
