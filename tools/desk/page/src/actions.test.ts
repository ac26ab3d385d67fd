import assert from 'node:assert/strict';
import {test} from 'node:test';
import {atField, nextName, unitsOf} from './actions';
import {kept} from './state';
import type {Figures} from './types';

test('a message at its field has no place and no key', () => {
  assert.equal(atField('a/b.toml:12: key \'battery.capacity\': 14 gal is not a power\na/b.toml:13: key \'x\': y', 'battery.capacity'), '14 gal is not a power');
  assert.equal(atField('x.toml:3: key \'pipe.length\': too long', 'pipe.2.length'), 'too long');
  assert.equal(atField('key \'nothing\': there is no entry', 'a.b'), 'key \'nothing\': there is no entry');
});
test('a kept option gets the first letter that is free', () => {
  const option = (name: string) => ({name, text: '', figures: {} as Figures});
  assert.equal(nextName(), 'A');
  kept.value = [option('B')];
  assert.equal(nextName(), 'A');
  kept.value = [option('A'), option('B')];
  assert.equal(nextName(), 'C');
  kept.value = [];
});
test('a scenario that states no units is shown in those that it is written in', () => {
  assert.equal(unitsOf('cut_in = "40 psi"', 'metric'), 'us');
  assert.equal(unitsOf('cut_in = "2.8 bar"', 'metric'), 'metric');
  assert.equal(unitsOf('units = "metric"\ncut_in = "40 psi"', 'metric'), 'metric');
});
