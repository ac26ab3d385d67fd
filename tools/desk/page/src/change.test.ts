import assert from 'node:assert/strict';
import {test} from 'node:test';
import {changeOf, changeWords} from './change';
import type {Figures, Year, YearsVerdict} from './types';

const figures = (held: number, generator: number, cost: number, start = 'PASS (+30 %)'): Figures => ({
  year: {shortage_hours: 0, generator_run_h: generator, generator_fuel_l: 2 * generator, grid_kwh: 0, max_starts_per_day: 8} as Year,
  verdict: {held, years: 50, worst_shortage_hours: 50 - held} as YearsVerdict, winters: true, autonomy_d: 3, start,
  cost: {life_cycle_cost: cost, years: 20, currency: 'EUR'}});

test('a change is told in one line', () => {
  assert.equal(changeWords(figures(42, 40, 10000), figures(46, 18, 11900), 'metric'),
    '+4 winters without a shortage, −22 h generator, −44 L fuel, +1,900 EUR');
  assert.equal(changeWords(figures(42, 40, 1), figures(42, 40, 1), 'us'), '');
  assert.equal(changeWords(figures(42, 0, 1), figures(42, 0, 1, 'FAIL (−5 %)'), 'us'), 'motor start PASS (+30 %) → FAIL (−5 %)');
});
test('better and worse are told by figure', () => {
  assert.equal(changeOf('cost', figures(42, 40, 2), figures(42, 40, 1)), 'better');
  assert.equal(changeOf('worst', figures(46, 40, 2), figures(42, 40, 1)), 'worse');
  assert.equal(changeOf('start', figures(46, 40, 2), figures(46, 40, 2, 'MARGINAL (+3 %)')), 'worse');
  assert.equal(changeOf('starts', figures(46, 40, 2), figures(46, 40, 2)), undefined);
  assert.equal(changeOf('starts', null, figures(46, 40, 2)), undefined);
});
