// Options, search and parts of the scenario as tables; their keys are behind them.
import {useState} from 'preact/hooks';
import {keys, view} from '../state';
import type {Group} from '../stations';
import {optionTable, partsTable, searchTables, type SettingsTable} from '../tables';
import {texts} from '../texts';
import {AddKey} from './AddKey';
import {DataTable} from './DataTable';
import {Fields} from './Fields';

/** The tables of these groups, which are those of options and of the search. */
export const tabled = (group: Group) => group.used && /^(option\.\d+|search)$/.test(group.table);

// The tables of a group that take any key.
const anyKey = ({table, common}: Group) => table === 'search' ? [...new Set(common.flatMap(f => /^search\.axis\.\d+/.exec(f.key)?.[0] ?? []))] : [table];

function Shown({table}: {table: SettingsTable}) {
  return <><h4>{table.name}</h4><DataTable name={table.name} head={table.head} rows={table.rows} text={table.head.map((_, i) => i)} /></>;
}

export function PartsTable() {
  const table = partsTable(keys.value);
  return table && <Shown table={table} />;
}

export function SettingsGroup({group}: {group: Group}) {
  const [open, setOpen] = useState(false);
  const tables = group.table === 'search' ? searchTables(keys.value) : [optionTable(group.table, keys.value)];
  return <div class="settings" data-settings={group.table}>
    {tables.map(table => <Shown key={table.name} table={table} />)}
    <p class="tools"><button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>{open ? texts.tables.fewer : texts.tables.edit}</button>
      <button type="button" onClick={() => { view.value = 'text'; }}>{texts.tables.as_text}</button></p>
    {open && <Fields group={group} />}
    {open && anyKey(group).map(table => <AddKey key={table} table={table} />)}
  </div>;
}
