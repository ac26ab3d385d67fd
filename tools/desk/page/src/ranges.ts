// The ranges within which inputs are tried, to see which of them decides.
import {keys, ranges, valueOf} from './state';

/** Of each end of a range. */
export const tried_years = 12;
const usual_inputs = ['demand.daily', 'use.1.persons', 'well.static_level', 'array.rated_power', 'array.soiling', 'battery.capacity', 'inverter.idle'];
/** A number and its unit: "10.2 kWh", "0.9"; not "3-wire", "40/60 psi" or a list. */
export const leading = /^(-?\d[\d.]*)((?: ?[a-z°%][^,]*)?)$/i;

/** A value times a factor, in its own unit; null: not a number. */
export function scaled(value: string, factor: number): string | null {
  const found = leading.exec(value);
  return found ? `${Number((Number(found[1]) * factor).toPrecision(4))}${found[2]}` : null;
}

export interface Range {
  input: string;
  low: string;
  high: string;
}
/** As the engine is asked for it. */
export const inputOf = ({input, low, high}: Range) => `${input}=${low},${high}`;

/** 20 % below and above the value of a key; none where it is no number, or 0. */
function aroundValue(input: string): Range[] {
  const value = valueOf(input), number = Number(leading.exec(value)?.[1]);
  const low = scaled(value, 0.8), high = scaled(value, 1.2);
  if (!low || !high || number === 0) return [];
  const share = number <= 1 && !/[a-z]/i.test(value);
  return [{input, low, high: share && Number(high) > 1 ? '1' : high}];
}

const keyIn = (provenance: string) => provenance.replace(/^provenance\./, '').replaceAll('"', '');
/** Keys whose source is "assumed". */
export const assumedKeys = () => keys.value.filter(k => k.key.startsWith('provenance.') && k.shown === 'assumed').map(k => keyIn(k.key));

/** What the scenario says is assumed: with its range, or with 20 % to either side. */
export function assumedRanges(): Range[] {
  const stated = ranges.value.map(({input, low, high}) => ({input, low, high}));
  return [...stated, ...assumedKeys().filter(key => stated.every(r => r.input !== key)).flatMap(aroundValue)];
}

/** What is assumed, and usual inputs. */
export function rangesToTry(): Range[] {
  const assumed = assumedRanges();
  return [...assumed, ...usual_inputs.filter(key => assumed.every(r => r.input !== key)).flatMap(aroundValue)];
}
