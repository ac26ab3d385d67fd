import assert from 'node:assert/strict';
import {test} from 'node:test';
import type {Hours, SensitivityEnd, SensitivityInput} from '../types';
import {cloudinessOption} from './CloudinessView';
import {drawnTo, threeOf} from './DecidesView';
import {asOption} from './OptionsView';
import {askedLine} from './SizesView';
import {between, positive} from './VaryView';
import {hourWords, placed, runsOf} from './WorstView';
import {daysOf, monthsOf, yearOption} from './YearView';

const of = (n: number, value: number) => new Array<number>(n).fill(value);
const hours = (n: number, first_hour: number): Hours => ({name: '', words: '', first_hour, from: 8760 + 10, to: 8760 + 14, store: 'tank', min_soc: 0.1, backup: 'generator', transfer_below: 0.3,
  soc: of(n, 0.5), pv_kw: of(n, 1), pv_available_kw: of(n, 1), load_kw: of(n, 2), backup_kw: of(n, 0), generator_run_h: of(n, 0.5), store_l: of(n, 100), demand_l: of(n, 10),
  short_l: [...of(n - 1, 0), 5], source: 'b'.repeat(n), lines: []});

test('hours that count from January find their place in a run that begins in another month', () => {
  const h = placed({...hours(8760, 4344), from: 8760 + 10, to: 8760 + 14});
  assert.equal(h.from, 8760 + 10 - 4344);
  assert.equal(h.to, h.from! + 4);
});
test('an hour is told in words, a shortage in capitals', () => {
  assert.deepEqual(hourWords(hours(48, 0), 47, 'metric').slice(0, 2), ['2 Jan 23:00', 'SOC 50 %']);
  assert.ok(hourWords(hours(48, 0), 47, 'metric').includes('SHORT 5 L'));
  assert.ok(!hourWords(hours(48, 0), 0, 'metric').some(w => w.startsWith('SHORT')));
});
test('runs of a source', () => assert.deepEqual(runsOf('ssb'), [[0, 2, 's'], [2, 3, 'b']]));
test('months and days add up', () => {
  const year = hours(8760, 0);
  assert.equal(monthsOf(year).reduce((sum, m) => sum + m.load, 0), 2 * 8760);
  assert.equal(monthsOf(year)[1]!.pv, 28 * 24);
  assert.equal(daysOf(year).length, 365);
  assert.equal(daysOf(year).at(-1)!.short_h, 1);
  const {interval, formatter} = (yearOption(daysOf(year), 0.1)({color: () => '#000', levels: [], font: ''} as never, 800).xAxis[2] as unknown as {axisLabel: {interval(day: number): boolean; formatter(day: string): string}}).axisLabel;
  assert.equal(daysOf(year).filter((_, day) => interval(day)).length, 12);
  assert.equal(formatter('1 Feb'), 'Feb');
});
test('a value keeps its unit when it is scaled, and a range its steps', () => {
  assert.equal(threeOf('96 ft', '120 ft', '144 ft'), '96 / 120 / 144 ft');
  assert.equal(threeOf('0.5', '0.8', '1'), '0.5 / 0.8 / 1');
  assert.equal(threeOf('800 W', '1 kW', '1.2 kW'), '800 W / 1 kW / 1.2 kW');
  assert.deepEqual(between('5 kWh', '10 kWh', 3), ['5 kWh', '7.5 kWh', '10 kWh']);
  assert.deepEqual(between('0,5', '1', 2), ['0.5', '1']);
  assert.equal(between('5 kWh', '10 gal', 3), null);
  assert.deepEqual(positive('5.1 kWh'), [5.1, ' kWh']);
  assert.equal(positive('-20 degC'), null);
});
test('a handle that is drawn sets the value at which the bar would end there', () => {
  const input = (low: [string, number], high: [string, number]) => ({low: {value: low[0], generator_run_h: low[1]}, high: {value: high[0], generator_run_h: high[1]}}) as SensitivityInput;
  const of = (e: SensitivityEnd) => e.generator_run_h;
  const demand = input(['180 gal/day', 20], ['270 gal/day', 40]), battery = input(['8 kWh', 40], ['12 kWh', 20]);
  assert.equal(drawnTo(demand, 'high', 0.25, 40, of), '315 gal/day');
  assert.equal(drawnTo(demand, 'low', -0.25, 40, of), '135 gal/day');
  // More hours are to the right, so the smaller battery.
  assert.equal(drawnTo(battery, 'low', 0.25, 40, of), '6 kWh');
  assert.equal(drawnTo(battery, 'high', -0.25, 40, of), '14 kWh');
  assert.equal(drawnTo(input(['8 kWh', 20], ['12 kWh', 20]), 'high', 0.5, 40, of), '18 kWh');
  assert.equal(drawnTo(input(['3-wire', 20], ['2-wire', 20]), 'high', 0.5, 40, of), null);
});
test('the asked line runs between the cells that meet the requirement and the others', () => {
  const cell = (array: string, battery: string, held: number, error: string | null = null) => ({array, battery, changes: [], held, years: 50, needed: 48, error});
  const map = {arrays: ['1 kW', '2 kW'], batteries: ['5 kWh', '10 kWh'], cells: [cell('1 kW', '5 kWh', 3), cell('2 kW', '5 kWh', 47), cell('1 kW', '10 kWh', 40), cell('2 kW', '10 kWh', 48)]};
  assert.deepEqual(askedLine(map), [[0, 1, true], [1, 0, false]]);
  map.cells[3]!.error = 'refused';
  assert.deepEqual(askedLine(map), []);
});
test('a kept design becomes an option of the open one', () => {
  const key = (k: string, value: string) => ({key: k, entry: '', value, shown: value, note: ''});
  const base = [key('battery.capacity', '"5 kWh"'), key('load.1.power', '"1 W"'), key('load.2.power', '"2 W"'), key('trough.open', '1'), key('option.1.name', '"x"')];
  const kept = [key('battery.capacity', '"9 kWh"'), key('load.1.power', '"1 W"'), key('use.1.name', '"a"'), key('use.1.kind', '"leak"')];
  assert.equal(asOption('option A', base, kept), '[[option]]\nname = "option A"\nremove = ["trough.open", "load.2"]\n"battery.capacity" = "9 kWh"\n[[option.use]]\nname = "a"\nkind = "leak"');
});
test('the site’s cloudy periods stand on the axis of light where their share is', () => {
  const lines = {shares: [0, 0.1, 0.6], most: 60, lines: [{name: 'base design', days: [2, 3, null]}],
    periods: [{source: 'made', share: 0.2345, words: ''}, {source: 'recorded', share: 0.7, words: ''}]};
  const palette = {color: () => '#000', levels: [], font: ''};
  const made = cloudinessOption(lines)(palette as never, 800) as {series: {data: unknown[]; markLine: {data: {xAxis: number}[]}}[]};
  assert.deepEqual(made.series[0]!.data, [[0, 2], [10, 3], [60, null]]);
  assert.deepEqual(made.series[0]!.markLine.data.map(d => d.xAxis), [23.5]);
});
