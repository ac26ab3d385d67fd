import assert from 'node:assert/strict';
import {test} from 'node:test';
import {spokenAnswer} from './spoken';
import type {Figures, Year, YearsVerdict} from './types';

const figures = (held: number, generator: number): Figures => ({
  year: {shortage_hours: 0, generator_run_h: generator, generator_fuel_l: 0, grid_kwh: 0, max_starts_per_day: 8} as Year,
  verdict: {held, years: 50, met: held >= 48, close: held === 48, worst_shortage_hours: 0} as YearsVerdict, winters: true, autonomy_d: 3, start: '', cost: null});

test('after a change the verdict is spoken, and what it changed', () => {
  assert.equal(spokenAnswer(figures(50, 20), figures(46, 41), 'made', 'us'),
    '46 of 50 made winters without a shortage: NO. This change: −4 winters without a shortage, +21 h generator.');
});
test('a change that changes nothing is told, too', () => {
  assert.equal(spokenAnswer(figures(48, 20), figures(48, 20), 'made', 'us'), '48 of 50 made winters without a shortage: YES, but close. No figure of the answer changed.');
});
test('a design that was opened has no change', () => {
  assert.equal(spokenAnswer(null, figures(50, 20), 'made', 'us'), '50 of 50 made winters without a shortage: YES.');
  assert.equal(spokenAnswer(null, {...figures(50, 20), verdict: null}, '', 'us'), 'The scenario asks for no years but the typical one.');
});
