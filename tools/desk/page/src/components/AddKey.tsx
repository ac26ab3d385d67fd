// A key of the scenario with a value, put into a table that takes any key: of an option, or of what a search varies.
import {useId, useState} from 'preact/hooks';
import {setKey} from '../actions';
import {described} from '../state';
import {formValues, keepForm, keptForm} from '../store';
import {texts} from '../texts';

export function AddKey({table}: {table: string}) {
  const id = useId();
  const [wrong, setWrong] = useState('');
  const name = `add-key-${table}`, [kept] = useState(() => keptForm(name));
  const add = async (event: SubmitEvent) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement, {key = '', value = ''} = formValues(form);
    const found = await setKey(`${table}."${key.trim()}"`, value);
    setWrong(found);
    if (found !== '') return;
    keepForm(name, null);
    for (const input of form.querySelectorAll('input')) input.value = '';
  };
  return <form class="tools add-key" data-add-key={table} onSubmit={e => void add(e as unknown as SubmitEvent)} onInput={e => keepForm(name, formValues(e.currentTarget))}>
    <label>{texts.add_key} <input name="key" list={`${id}-keys`} required spellcheck={false} autocomplete="off" placeholder="battery.capacity" defaultValue={kept.key} /></label>
    <datalist id={`${id}-keys`}>{described.value.filter(k => k.key.includes('.') && !/KEY|^(option|search|provenance|assumed_range)\./.test(k.key)).map(k => <option value={k.key}>{k.help}</option>)}</datalist>
    <label>{texts.tables.value} <input name="value" required spellcheck={false} autocomplete="off" defaultValue={kept.value} /></label>
    <button>{texts.add_this_key}</button>
    <span class="wrong" role={wrong ? 'alert' : undefined}>{wrong}</span>
  </form>;
}
