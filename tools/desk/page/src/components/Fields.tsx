// The fields of a table of the scenario: common ones, the rest behind "more", and the button that removes it.
import {useState} from 'preact/hooks';
import {removeKey} from '../actions';
import {tableWords, type Group} from '../stations';
import {texts} from '../texts';
import {Field} from './Field';

export function Fields({group}: {group: Group}) {
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
