// Fills a table of the scenario from a part of a list, and says what it changed.
import {useState} from 'preact/hooks';
import {ask, partsFiles, takePart} from '../actions';
import {whole} from '../format';
import {labelOf} from '../stations';
import {texts} from '../texts';
import type {Part, PartChange} from '../types';

const words = (change: PartChange, table: string) => `${labelOf(change.key, table)} ${change.from ?? '–'} → ${change.to ?? '–'}`.replaceAll('"', '');

export function PartPicker({kind, table}: {kind: string; table: string}) {
  const [parts, setParts] = useState<Part[] | null>(null);
  const [said, setSaid] = useState('');
  const load = async () => {
    const found = await ask<Part[]>('parts', {kind, paths: await partsFiles()});
    setParts(found.answer ?? []);
    if (found.error !== undefined) setSaid(found.error);
  };
  const take = async (name: string) => {
    if (name === '') return;
    const taken = await takePart(kind, table, name);
    setSaid(taken.error ?? (taken.answer!.length === 0 ? texts.part_same(name) : texts.part_changed(name, taken.answer!.map(c => words(c, table)).join(', '))));
  };
  return <p class="part">
    <label>{table}: {texts.from_part} <select data-part={kind} onFocus={() => { if (!parts) void load(); }} onPointerDown={() => { if (!parts) void load(); }}
      onChange={e => { void take(e.currentTarget.value); e.currentTarget.value = ''; }}>
      <option value="">{texts.choose}</option>
      {parts?.map(p => <option value={p.name}>{p.name}{p.about ? `, ${p.about}` : ''}{p.price !== null ? `, ${p.currency} ${whole(p.price)}` : ''}</option>)}
    </select></label>
    <span class="note" role="status">{said}</span>
  </p>;
}
