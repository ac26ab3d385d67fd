// What changed between two answers: the six figures as values that are better or worse, and one line of words.
import {number, volume, whole} from './format';
import {texts} from './texts';
import type {Figures, Units} from './types';

export type FigureName = 'autonomy' | 'worst' | 'start' | 'backup' | 'starts' | 'cost';

const start_order = ['FAIL', 'UNKNOWN', 'MARGINAL', 'PASS'];
// More is better.
const scores: Record<FigureName, (f: Figures) => number | null> = {
  autonomy: f => f.autonomy_d === undefined ? null : f.autonomy_d ?? Infinity,
  worst: f => f.verdict ? -f.verdict.worst_shortage_hours : null,
  start: f => f.start === '' ? null : start_order.findIndex(v => f.start.startsWith(v)),
  backup: f => -(f.year.generator_run_h + f.year.grid_kwh),
  starts: f => -f.year.max_starts_per_day,
  cost: f => f.cost ? -f.cost.life_cycle_cost : null,
};

export function changeOf(name: FigureName, before: Figures | null, now: Figures): 'better' | 'worse' | undefined {
  if (!before) return undefined;
  const a = scores[name](before), b = scores[name](now);
  if (a === null || b === null || a === b || Math.abs(a - b) < 1e-9 * Math.max(Math.abs(a), Math.abs(b))) return undefined;
  return b > a ? 'better' : 'worse';
}

const signed = (value: number, text: (v: number) => string) => `${value > 0 ? '+' : '−'}${text(Math.abs(value))}`;

/** "+4 winters, −22 h generator, +1,900 EUR"; empty: nothing changed. */
export function changeWords(before: Figures, now: Figures, units: Units): string {
  const list: string[] = [], words = texts.change;
  const add = (difference: number, least: number, text: (v: number) => string) => {
    if (Math.abs(difference) >= least) list.push(signed(difference, text));
  };
  if (before.verdict && now.verdict && before.verdict.years === now.verdict.years)
    add(now.verdict.held - before.verdict.held, 1, v => words.held(v, now.winters));
  add(now.year.shortage_hours - before.year.shortage_hours, 0.5, v => words.short(number(v)));
  if (typeof before.autonomy_d === 'number' && typeof now.autonomy_d === 'number')
    add(now.autonomy_d - before.autonomy_d, 0.05, v => words.autonomy(number(v)));
  add(now.year.generator_run_h - before.year.generator_run_h, 0.5, v => words.generator(number(v)));
  add(now.year.generator_fuel_l - before.year.generator_fuel_l, 0.5, v => words.fuel(volume(v, units)));
  add(now.year.grid_kwh - before.year.grid_kwh, 0.5, v => words.grid(number(v)));
  if (before.start !== now.start && before.start !== '' && now.start !== '') list.push(words.start(before.start, now.start));
  if (before.cost && now.cost) add(now.cost.life_cycle_cost - before.cost.life_cycle_cost, 1, v => `${whole(v)} ${now.cost!.currency}`);
  return list.join(', ');
}
