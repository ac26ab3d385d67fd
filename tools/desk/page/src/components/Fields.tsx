// The fields of a table of the scenario: common ones, the rest behind "more", and the button that removes it where the design can do without.
import {useEffect, useState} from 'preact/hooks';
import {ask, removeKey} from '../actions';
import {version} from '../state';
import {tableWords, type Group} from '../stations';
import {texts} from '../texts';
import {Field} from './Field';

// A table or an entry that the design needs has no button that takes it out.
function useRemovable({table, used}: Group): boolean {
  const [removable, setRemovable] = useState(false);
  useEffect(() => {
    if (!used || table === '') return undefined;
    let gone = false;
    void ask<string[]>('removable', {keys: [table]}).then(found => { if (!gone) setRemovable(found.answer?.length === 1); });
    return () => { gone = true; };
  }, [version.value, table, used]);
  return removable && used && table !== '';
}

export function Fields({group}: {group: Group}) {
  const [more, setMore] = useState(false);
  const removable = useRemovable(group);
  const what = group.entry || tableWords(group.table);
  return <fieldset data-table={group.table}>
    <legend>{group.table === '' ? texts.other_keys : `${tableWords(group.table)}${group.entry ? `: ${group.entry}` : ''}`}</legend>
    {group.common.map(field => <Field key={field.key} field={field} table={group.table} />)}
    {more && group.more.map(field => <Field key={field.key} field={field} table={group.table} />)}
    <p class="tools">
      {group.more.length > 0 && <button type="button" aria-expanded={more} onClick={() => setMore(!more)}>{more ? texts.fewer : texts.more(group.more.length)}</button>}
      {removable &&
        <button type="button" onClick={() => void removeKey(group.table)}>{texts.remove_entry(what)}</button>}
    </p>
  </fieldset>;
}
