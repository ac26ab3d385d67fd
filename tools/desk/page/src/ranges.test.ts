import assert from 'node:assert/strict';
import {test} from 'node:test';
import {assumedKeys, assumedRanges, inputOf, rangesToTry, scaled} from './ranges';
import {keys, ranges} from './state';

const key = (name: string, shown: string) => ({key: name, entry: '', value: shown, shown, note: ''});

test('a value keeps its unit when it is scaled', () => {
  assert.equal(scaled('10.2 kWh', 0.5), '5.1 kWh');
  assert.equal(scaled('three-wire', 2), null);
});
test('what is assumed is tried within its range, or 20 % to either side; usual inputs too', () => {
  keys.value = [key('well.static_level', '100 ft'), key('array.soiling', '0.9'), key('battery.capacity', '10 kWh'), key('motor.locked_rotor', '48 A'), key('motor.wiring', '3-wire'),
    key('provenance."motor.locked_rotor"', 'assumed'), key('provenance."motor.wiring"', 'assumed'), key('provenance."well.static_level"', 'measured'), key('provenance."battery.capacity"', 'assumed')];
  ranges.value = [{input: 'battery.capacity', low: '9 kWh', high: '11 kWh', provenance: 'assumed'}];
  assert.deepEqual(assumedKeys(), ['motor.locked_rotor', 'motor.wiring', 'battery.capacity']);
  assert.deepEqual(assumedRanges().map(inputOf), ['battery.capacity=9 kWh,11 kWh', 'motor.locked_rotor=38.4 A,57.6 A']);
  assert.deepEqual(rangesToTry().slice(2).map(inputOf), ['well.static_level=80 ft,120 ft', 'array.soiling=0.72,1']);
  keys.value = [];
  ranges.value = [];
});
