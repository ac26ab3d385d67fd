import assert from 'node:assert/strict';
import {test} from 'node:test';
import {clock, csv, dayText, number, volume} from './format';

test('figures have three digits and commas', () => {
  assert.equal(number(0), '0');
  assert.equal(number(9.6789), '9.68');
  assert.equal(number(12345.6), '12,346');
  assert.equal(volume(3.785411784, 'us'), '1 gal');
  assert.equal(volume(100, 'metric'), '100 L');
});
test('an hour has its date, also in the year after', () => {
  assert.equal(dayText(0), '1 Jan');
  assert.equal(dayText(59 * 24), '1 Mar');
  assert.equal(dayText(8760 + 24), '2 Jan');
  assert.equal(clock(8760 + 5), '05:00');
});
test('every cell of a CSV is in quotes', () => assert.equal(csv(['a', 'b'], [['1,2', 'say "x"']]), '"a","b"\n"1,2","say ""x"""\n'));
