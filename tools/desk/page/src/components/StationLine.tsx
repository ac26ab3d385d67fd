// A line of the site sheet: its name, the figure that sums it up and a mark; it opens in place.
import {useState} from 'preact/hooks';
import {addEntry, toggleStation} from '../actions';
import {assumedKeys} from '../ranges';
import * as state from '../state';
import {groupsOf, isList, labelOf, lists, markOf, stationOf, stations, sumOf, tableWords, type Group} from '../stations';
import {keyWords} from '../tables';
import {texts} from '../texts';
import {Fields} from './Fields';
import {PartPicker} from './PartPicker';
import {WeatherInUse} from './WeatherInUse';
import {PartsTable, SettingsGroup, tabled} from './SettingsTables';

const signs = {wrong: '✕', fail: '!', assumed: '?', done: '✓'} as const;
const sign_words = {wrong: texts.mark_wrong, fail: texts.mark_fail, assumed: texts.mark_assumed, done: texts.mark_done} as const;

// "locked rotor" on the line of its motor; an entry of a list with its number.
const inputWords = (key: string) => /^\w+\.\d/.test(key) ? keyWords(key) : labelOf(key, key.split('.')[0]!);

// A table that the scenario does not have yet stays folded.
function Unused({group}: {group: Group}) {
  const [open, setOpen] = useState(false);
  return open ? <Fields group={group} /> : <p class="tools"><button type="button" data-add-table={group.table} onClick={() => setOpen(true)}>{texts.add_table(tableWords(group.table))}</button></p>;
}

export function StationLine({number}: {number: number}) {
  const station = stations[number]!;
  const open = state.openStations.value.includes(number);
  const assumed = [...state.ranges.value.map(r => r.input), ...assumedKeys()];
  const deciding = state.deciding.value.filter(key => assumed.includes(key) && stationOf(key) === number);
  const mark = markOf(number, state.checks.value?.checks ?? [], assumed, Object.keys(state.refused.value));
  const own = station.tables.flatMap(table => table === 'search' ? ['search.axis'] : table).filter(isList);
  return <section class="station" data-station={station.name}>
    <h3><button type="button" class="line" aria-expanded={open} aria-controls={`station-${number}`} onClick={() => toggleStation(number)}>
      <span class="number">{number + 1}</span> <span class="name">{texts.station[number]}</span> <span class="sum">{sumOf(number, state.keys.value, state.design.value?.weather)}</span>
      <span class={`mark ${mark}`} title={sign_words[mark]}><span aria-hidden="true">{signs[mark]}</span><span class="hidden">{sign_words[mark]}</span></span>
      {deciding.length > 0 && <span class="decides">{texts.measure(deciding.map(inputWords).join(', '), deciding.length)}</span>}
    </button></h3>
    <div id={`station-${number}`} hidden={!open}>{open && <>
      {station.cautions?.map(hazard => <p class="caution">{texts.cautions[hazard]}</p>)}
      {station.parts?.map(([kind, table]) => <PartPicker kind={kind} table={table} />)}
      {groupsOf(number, state.described.value, state.keys.value).map(group =>
        tabled(group) ? <SettingsGroup key={group.table} group={group} /> : group.used || group.table === '' ? <Fields key={group.table} group={group} /> : <Unused key={group.table} group={group} />)}
      {station.name === 'Weather' && <WeatherInUse />}
      {number === stations.length - 1 && <PartsTable />}
      {own.length > 0 && <p class="tools">{own.map(list =>
        <button type="button" data-add={list} onClick={() => void addEntry(list, lists[list])}>{texts.add_entry(texts.lists[list].what)}</button>)}</p>}
    </>}</div>
  </section>;
}
