import assert from 'node:assert/strict';
import {test} from 'node:test';
import {clock, csv, dayText, number, shortRange, tenths, volume} from './format';

test('figures have three digits and commas', () => {
  assert.equal(number(0), '0');
  assert.equal(number(9.6789), '9.68');
  assert.equal(number(12345.6), '12,346');
  assert.equal(volume(3.785411784, 'us'), '1 gal');
  assert.equal(volume(100, 'metric'), '100 L');
  assert.deepEqual([92, 1234.56].map(tenths), ['92.0', '1,234.6']);
});
test('a range is short, and both of its ends are accepted', () => {
  assert.equal(shortRange('0 to 264172 gal/day'), '0 to 264,000 gal/day');
  assert.equal(shortRange('0.001585 to 1585 gpm'), '0.00159 to 1,580 gpm');
  assert.equal(shortRange('-1475.4 to 19685 ft, whole'), '-1,470 to 19,600 ft, whole');
  assert.equal(shortRange('0 to 2147483647'), '0 to 2,140,000,000');
  assert.equal(shortRange('0.1 to 1'), '0.1 to 1');
  assert.equal(shortRange('0 to 100000 kWh'), '0 to 100,000 kWh');
  assert.equal(shortRange('above the minimum'), 'above the minimum');
});
test('an hour has its date, also in the year after', () => {
  assert.equal(dayText(0), '1 Jan');
  assert.equal(dayText(59 * 24), '1 Mar');
  assert.equal(dayText(8760 + 24), '2 Jan');
  assert.equal(clock(8760 + 5), '05:00');
});
test('every cell of a CSV is in quotes', () => assert.equal(csv(['a', 'b'], [['1,2', 'say "x"']]), '"a","b"\n"1,2","say ""x"""\n'));
