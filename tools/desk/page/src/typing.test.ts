import assert from 'node:assert/strict';
import {test} from 'node:test';
import {stepped} from './typing';

test('arrow keys step by about five percent and keep the unit', () => {
  assert.equal(stepped('10 kWh', true), '10.5 kWh');
  assert.equal(stepped('10.2 kWh', false), '10 kWh');
  assert.equal(stepped('225 gal/day', true), '240 gal/day');
  assert.equal(stepped('0.9', false), '0.85');
  assert.equal(stepped('three-wire', true), null);
  assert.equal(stepped('0 gpm, 2 gpm', true), null);
  assert.equal(stepped('1/2 hp', true), null);
});
