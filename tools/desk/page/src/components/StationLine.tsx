// A line of the site sheet: its name, the figure that sums it up and a mark; it opens in place.
import {useState} from 'preact/hooks';
import {addEntry, removeKey, toggleStation} from '../actions';
import * as state from '../state';
import {groupsOf, lists, markOf, stations, sumOf, tableWords, type Group} from '../stations';
import {texts} from '../texts';
import {Field} from './Field';
import {PartPicker} from './PartPicker';

const signs = {wrong: '✕', fail: '!', assumed: '?', done: '✓'} as const;
const sign_words = {wrong: texts.mark_wrong, fail: texts.mark_fail, assumed: texts.mark_assumed, done: texts.mark_done} as const;

function Fields({group}: {group: Group}) {
  const [more, setMore] = useState(false);
  const what = group.entry || tableWords(group.table);
  return <fieldset data-table={group.table}>
    <legend>{group.table === '' ? texts.other_keys : `${tableWords(group.table)}${group.entry ? `: ${group.entry}` : ''}`}</legend>
    {group.common.map(field => <Field key={field.key} field={field} table={group.table} />)}
    {more && group.more.map(field => <Field key={field.key} field={field} table={group.table} />)}
    <p class="tools">
      {group.more.length > 0 && <button type="button" aria-expanded={more} onClick={() => setMore(!more)}>{more ? texts.fewer : texts.more(group.more.length)}</button>}
      {(group.list !== '' || (group.used && !['weather', 'array', 'controller', 'battery', 'inverter', 'well', 'pump', 'motor', ''].includes(group.table))) &&
        <button type="button" onClick={() => void removeKey(group.table)}>{texts.remove_entry(what)}</button>}
    </p>
  </fieldset>;
}

// A table that the scenario does not have yet stays folded.
function Unused({group}: {group: Group}) {
  const [open, setOpen] = useState(false);
  return open ? <Fields group={group} /> : <p class="tools"><button type="button" onClick={() => setOpen(true)}>{texts.add_table(tableWords(group.table))}</button></p>;
}

export function StationLine({number}: {number: number}) {
  const station = stations[number]!;
  const open = state.openStations.value.includes(number);
  const assumed = [...state.ranges.value.map(r => r.input),
    ...state.keys.value.filter(k => k.key.startsWith('provenance.') && k.shown === 'assumed').map(k => k.key.slice('provenance.'.length).replaceAll('"', ''))];
  const mark = markOf(number, state.checks.value?.checks ?? [], assumed, Object.keys(state.refused.value));
  const own = stations[number]!.tables.filter(t => t in lists);
  return <section class="station" data-station={station.name}>
    <h3><button type="button" class="line" aria-expanded={open} aria-controls={`station-${number}`} onClick={() => toggleStation(number)}>
      <span class="number">{number + 1}</span> <span class="name">{station.name}</span> <span class="sum">{sumOf(number, state.keys.value)}</span>
      <span class={`mark ${mark}`} title={sign_words[mark]}><span aria-hidden="true">{signs[mark]}</span><span class="hidden">{sign_words[mark]}</span></span>
    </button></h3>
    <div id={`station-${number}`} hidden={!open}>{open && <>
      {station.caution && <p class="caution">{texts.cautions[station.caution]}</p>}
      {station.name === 'Grid and generator' && <p class="caution">{texts.cautions.generator}</p>}
      {station.parts?.map(([kind, table]) => <PartPicker kind={kind} table={table} />)}
      {groupsOf(number, state.described.value, state.keys.value).map(group =>
        group.used || group.table === '' ? <Fields key={group.table} group={group} /> : <Unused key={group.table} group={group} />)}
      {own.length > 0 && <p class="tools">{own.map(list =>
        <button type="button" onClick={() => void addEntry(list, lists[list]!.lines)}>{texts.add_entry(lists[list]!.what)}</button>)}</p>}
    </>}</div>
  </section>;
}
