// The page's state, all of it. Components read the signals; src/actions.ts alone changes them.
import {computed, signal} from '@preact/signals';
import type {Checks, Cost, Design, Figures, Kept, KeyText, Saved, ScenarioKey, StatedRange, Units, Verdict, VerdictAnswer, Year, YearsVerdict} from './types';

export type Phase = 'starting' | 'ready' | 'broken';
export type View = 'worst' | 'cloudiness' | 'decides' | 'sizes' | 'year' | 'checks' | 'options' | 'vary' | 'report' | 'text';
export type Theme = 'auto' | 'light' | 'dark';
export type Door = 'none' | 'doors' | 'questions';

export const phase = signal<Phase>('starting');
export const door = signal<Door>('doors');
/** A message about a file or the whole design; empty: none. */
export const message = signal('');
/** What a screen reader says of the answer by itself. */
export const spoken = signal('');
/** When the page last kept the design, or why it cannot. */
export const savedWords = signal('');

export const design = signal<Design | null>(null);
export const past = signal<Design[]>([]);
export const future = signal<Design[]>([]);
export const title = signal('');
export const place = signal('');
export const options = signal<string[]>([]);
export const option = signal('');
export const units = signal<Units>('us');
export const theme = signal<Theme>('auto');
export const demos = signal<{path: string; title: string}[]>([]);

export const described = signal<KeyText[]>([]);
export const keys = signal<ScenarioKey[]>([]);
/** Values that were refused, by key: what was typed, and the message. */
export const refused = signal<Record<string, {typed: string; message: string}>>({});
export const ranges = signal<StatedRange[]>([]);
/** The size of one part, by key, where a part was taken: arrow keys step by it. */
export const partSizes = signal<Record<string, string>>({});
/** Inputs within whose range a verdict turns. */
export const deciding = signal<string[]>([]);
export const openStations = signal<number[]>([]);

export const year = signal<Year | null>(null);
/** Why the design cannot be run; empty: it can. */
export const problem = signal('');
export const warnings = signal<string[]>([]);
export const checks = signal<Checks | null>(null);
export const verdict = signal<VerdictAnswer | null>(null);
/** The verdict is from the first years only; more are being run. */
export const partial = signal(false);
/** The version that the verdict is of; an older one is shown as such until the new one comes. */
export const verdictVersion = signal(0);
export const running = signal(false);
export const autonomy = signal<number | null | undefined>(undefined);
export const cost = signal<Cost | null>(null);
export const kept = signal<Kept[]>([]);
/** What the line "Since ..." compares with. */
export const lastSaved = signal<Saved | null>(null);
/** Figures before the last change, and when it was made: what got better or worse is marked for three seconds. */
export const before = signal<Figures | null>(null);
export const view = signal<View>('worst');
/** Grows with every change of the design, its units or its option; a study of an older one is made again. */
export const version = signal(0);

export const judged = (v: Verdict, source: string): YearsVerdict => v[v.judged][source]!;

const start_checks = ['start-surge', 'start-motor-volts', 'start-battery-volts', 'start-battery-amps', 'start-measured'];
const order = ['FAIL', 'UNKNOWN', 'MARGINAL', 'PASS'];
/** The worst verdict of the motor's start, with the margin of the surge: "MARGINAL (+23 %)". */
export function startWords(of: Checks | null): string {
  const list = of?.checks.filter(c => start_checks.includes(c.check) && !c.waived) ?? [];
  if (list.length === 0) return '';
  const worst = order.find(v => list.some(c => c.verdict === v))!;
  const margin = list.find(c => c.check === 'start-surge')?.margin;
  return margin === null || margin === undefined ? worst : `${worst} (${margin >= 1 ? '+' : '−'}${Math.round(Math.abs(100 * (margin - 1)))} %)`;
}

/** The figures of the answer as it stands; null until there is one. */
export const figures = computed<Figures | null>(() => year.value === null ? null : {
  year: year.value,
  verdict: verdict.value && judged(verdict.value.verdict, verdict.value.source),
  winters: verdict.value?.verdict.winters ?? false,
  autonomy_d: autonomy.value,
  start: startWords(checks.value),
  cost: cost.value,
});

export const valueOf = (key: string) => keys.value.find(k => k.key === key)?.shown ?? '';
export const currency = computed(() => cost.value?.currency ?? '');
