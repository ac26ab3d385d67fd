import assert from 'node:assert/strict';
import {test} from 'node:test';
import {keyWords, listOf, optionTable, partsTable, searchTables} from './tables';

const key = (k: string, value: string) => ({key: k, entry: '', value, shown: value.replace(/^"|"$/g, ''), note: ''});

test('a list is taken apart, lists in it stay together', () => {
  assert.deepEqual(listOf('["5 kWh", "10, kWh"]'), ['5 kWh', '10, kWh']);
  assert.deepEqual(listOf('[["8 kW", "6 kW"], ["12 kW", "9 kW"]]'), ['8 kW, 6 kW', '12 kW, 9 kW']);
  assert.deepEqual(listOf('[0, 2600]'), ['0', '2600']);
  assert.deepEqual(listOf('[]'), []);
});
test('a key in words', () => {
  assert.deepEqual(['elevation', 'battery.capacity', 'load.2.power', 'battery.life.depths', '"inverter.idle"'].map(keyWords), ['elevation', 'battery: capacity', 'load 2: power', 'battery: life: depths', 'inverter: idle']);
});
test('an option stands beside the base design', () => {
  const keys = [key('battery.capacity', '"5 kWh"'), key('option.1.name', '"more"'), key('option.1.remove', '["cistern"]'), key('option.1."battery.capacity"', '"9 kWh"'), key('option.1."wiring.accepted_frequency"', '["57 Hz", "63 Hz"]'), key('option.2.name', '"x"')];
  assert.deepEqual(optionTable('option.1', keys), {name: 'Option: more', head: ['what', 'base design', 'more'],
    rows: [['cistern', 'there', 'removed'], ['battery: capacity', '5 kWh', '9 kWh'], ['wiring: accepted frequency', '–', '57 Hz, 63 Hz']]});
});
test('a search has what is asked, and one column for each size', () => {
  const tables = searchTables([key('search.require.demand_met', '0.999'), key('search.axis.1.name', '"battery"'), key('search.axis.1."battery.capacity"', '["5 kWh", "9 kWh"]'), key('search.axis.1.price', '[1, 2]')]);
  assert.deepEqual(tables.map(t => t.name), ['Search: what is asked', 'Search varies: battery']);
  assert.deepEqual(tables[0]!.rows, [['required: demand met', '0.999']]);
  assert.deepEqual(tables[1]!, {name: 'Search varies: battery', head: ['what', '1', '2'], rows: [['battery: capacity', '5 kWh', '9 kWh'], ['price', '1', '2']]});
  assert.deepEqual(searchTables([key('battery.capacity', '"5 kWh"')]), []);
});
test('parts are told by their section', () => {
  assert.deepEqual(partsTable([key('tank.part', '"tank-20"'), key('parts', '["parts"]'), key('option.1."tank.part"', '"x"')])?.rows, [['tank', 'tank-20'], ['list of parts', 'parts']]);
  assert.equal(partsTable([]), null);
});
