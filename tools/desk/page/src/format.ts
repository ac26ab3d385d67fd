// Figures as a designer reads them.
import {texts} from './texts';
import type {Units} from './types';

const liters_per_gallon = 3.785411784;

/** Three digits, more where the figure is larger, commas between thousands. */
export function number(value: number): string {
  if (value === 0) return '0';
  const digits = Math.abs(value) >= 100 ? 0 : Math.abs(value) >= 10 ? 1 : 2;
  return value.toLocaleString(texts.locale, {maximumFractionDigits: digits});
}

/** For columns, in which the points stand below each other. */
export const tenths = (value: number) => value.toLocaleString(texts.locale, {minimumFractionDigits: 1, maximumFractionDigits: 1});
export const whole = (value: number) => value.toLocaleString(texts.locale, {maximumFractionDigits: 0});
/** A range in three digits, inward, so that both ends are accepted: "0 to 264172 gal/day" is "0 to 264,000 gal/day". */
export function shortRange(range: string): string {
  const found = /^(-?[\d.]+) to (-?[\d.]+)(.*)$/.exec(range);
  if (!found) return range;
  const end = (text: string, round: (v: number) => number) => {
    const value = Number(text), unit = 10 ** (Math.floor(Math.log10(Math.abs(value) || 1)) - 2);
    return text.replace(/[-.]/g, '').replace(/^0+/, '').length <= 3 || Number.isInteger(value / unit) ? value.toLocaleString(texts.locale, {maximumFractionDigits: 9})
      : Number((round(value / unit) * unit).toPrecision(3)).toLocaleString(texts.locale, {maximumFractionDigits: 9});
  };
  return `${end(found[1]!, Math.ceil)} to ${end(found[2]!, Math.floor)}${found[3]}`;
}
export const percent = (share: number) => `${number(100 * share)} %`;
export const volumeUnit = (units: Units) => units === 'us' ? 'gal' : 'L';
export const volumeOf = (liters: number, units: Units) => units === 'us' ? liters / liters_per_gallon : liters;
export const volume = (liters: number, units: Units) => `${number(volumeOf(liters, units))} ${volumeUnit(units)}`;
export const capital = (text: string) => text === '' ? text : text[0]!.toUpperCase() + text.slice(1);
export const fileName = (path: string) => path.slice(path.lastIndexOf('/') + 1);

const days_in = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
export const monthName = (month: number) => texts.months[month % 12]!;

/** Day and month of an hour of a year of 365 days; later hours are in the year after. */
export function dateOfHour(hour: number): {day: number; month: number; hour: number} {
  let day = Math.floor(hour / 24) % 365, month = 0;
  while (day >= days_in[month]!) day -= days_in[month++]!;
  return {day: day + 1, month, hour: hour % 24};
}
export function dayText(hour: number): string {
  const {day, month} = dateOfHour(hour);
  return `${day} ${monthName(month)}`;
}
export const clock = (hour: number) => `${String(hour % 24).padStart(2, '0')}:00`;

/** A table as CSV: every cell in quotes. */
export const csv = (head: string[], rows: string[][]) =>
  [head, ...rows].map(row => row.map(t => `"${t.replaceAll('"', '""')}"`).join(',')).join('\n') + '\n';
