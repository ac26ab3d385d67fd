// What a screen reader says after a change, without being asked: the verdict, and what it changed in the answer. Once for a change.
import {changeWords} from './change';
import {texts} from './texts';
import type {Figures, Units} from './types';

/** `before`: the figures that were told last; null: those of another design, or none. */
export function spokenAnswer(before: Figures | null, now: Figures, source: string, units: Units): string {
  const v = now.verdict;
  const sentence = v ? `${texts.held(v.held, v.years, source, now.winters)}: ${v.met ? texts.verdict_yes : texts.verdict_no}${v.close ? texts.close_verdict : ''}.` : texts.no_years;
  if (!before) return sentence;
  const changes = changeWords(before, now, units);
  return `${sentence} ${changes === '' ? texts.spoken_same : texts.spoken_change(changes)}`;
}
