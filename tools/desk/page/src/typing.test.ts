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
test('whole numbers step by one, and a battery of a part by its module', () => {
  assert.equal(stepped('3', true, {whole: true}), '4');
  assert.equal(stepped('3', false, {whole: true}), '2');
  assert.equal(stepped('10.24 kWh', true, {of_part: '5.12 kWh'}), '15.36 kWh');
  assert.equal(stepped('5.12 kWh', false, {of_part: '5.12 kWh'}), null);
  assert.equal(stepped('10 kWh', true, {of_part: '18.4 MJ'}), '10.5 kWh');
});
