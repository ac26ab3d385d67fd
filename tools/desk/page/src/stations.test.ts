import assert from 'node:assert/strict';
import {readFileSync, readdirSync} from 'node:fs';
import {join} from 'node:path';
import {test} from 'node:test';
import {groupsOf, labelOf, markOf, stationOf, stations, sumOf} from './stations';
import type {Check, KeyText, ScenarioKey} from './types';

const text = (key: string, more = false): KeyText => ({key, kind: 'W', unit: 'W', usual: 'none', range: '', choices: [], more, help: ''});
const has = (key: string, shown = '1', entry = ''): ScenarioKey => ({key, entry, value: shown, shown, note: ''});
const at = (name: string) => stations.findIndex(s => s.name === name);

test('a key finds its line by its table, and an unknown table the last one', () => {
  assert.equal(stationOf('battery.life.depths'), at('Battery'));
  assert.equal(stationOf('pipe.2.length'), at('Well and pump'));
  assert.equal(stationOf('something.new'), stations.length - 1);
});
test('every described key appears, in entries of lists too, and what is not described as well', () => {
  const described = [text('load.power'), text('load.leg', true), text('battery.capacity'), text('battery.life.cycles', true), text('battery.added_later')];
  const loads = groupsOf(at('Other loads'), described, [has('load.1.power', '12 W', 'radio'), has('load.2.power')]);
  assert.deepEqual(loads.map(g => g.table), ['load.1', 'load.2']);
  assert.equal(loads[0]!.entry, 'radio');
  assert.deepEqual(loads[1]!.more.map(f => f.key), ['load.2.leg']);
  const battery = groupsOf(at('Battery'), described, [has('battery.capacity'), has('battery.strange')]);
  assert.deepEqual(battery[0]!.common.map(f => f.key), ['battery.capacity', 'battery.added_later', 'battery.strange']);
  assert.deepEqual(battery[0]!.more.map(f => f.key), ['battery.life.cycles']);
});
test('a key that the scenario has is in sight, though it is described as more', () => {
  const [group] = groupsOf(at('Battery'), [text('battery.life.cycles', true)], [has('battery.life.cycles')]);
  assert.deepEqual(group!.common.map(f => f.key), ['battery.life.cycles']);
});
test('every check of the command marks one line', () => {
  const folder = join(process.env.HOLDWATER_SOURCE!, 'sim/check');
  const code = readdirSync(folder).filter(f => f.endsWith('.cpp')).map(f => readFileSync(join(folder, f), 'utf8')).join('\n');
  const names = [...new Set([...code.matchAll(/titled\(\s*"([a-z-]+)"/g)].map(m => m[1]!))];
  assert.ok(names.length > 30, names.join());
  for (const name of names) assert.deepEqual(stations.filter(s => s.checks.test(name)).length, 1, name);
});
test('a line is marked for the worst of what it has', () => {
  const check = (name: string, verdict: Check['verdict']) => ({check: name, verdict, waived: null}) as Check;
  const battery = at('Battery');
  assert.equal(markOf(battery, [], [], []), 'done');
  assert.equal(markOf(battery, [], ['battery.capacity'], []), 'assumed');
  assert.equal(markOf(battery, [check('battery-charge', 'FAIL')], ['battery.capacity'], []), 'fail');
  assert.equal(markOf(battery, [check('battery-charge', 'FAIL')], [], ['battery.capacity']), 'wrong');
  assert.equal(markOf(battery, [{...check('battery-charge', 'FAIL'), waived: 'x'}], [], []), 'done');
});
test('a line is summed up, and a field has the trade’s words', () => {
  assert.equal(sumOf(at('Other loads'), [has('load.1.power'), has('load.2.power')]), '2 loads');
  assert.equal(sumOf(at('Battery'), [has('battery.capacity', '10 kWh')]), '10 kWh');
  assert.equal(labelOf('battery.life.depths', 'battery'), 'life: depths');
  assert.equal(labelOf('battery.start_soc', 'battery'), 'start SOC');
});
