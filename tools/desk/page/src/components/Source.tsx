// Where a value comes from, beside its field; what is assumed has a range, within which the verdicts must hold.
import {useId} from 'preact/hooks';
import {removeKey, setKey, setKeys} from '../actions';
import * as state from '../state';
import {texts} from '../texts';

/** As the scenario has them; '' is not stated. */
const sources = ['', 'nameplate', 'measured', 'table', 'assumed'] as const;
const keyOf = (table: string, key: string) => `${table}."${key}"`;

export function Source({of, label, value}: {of: string; label: string; value: string}) {
  const id = useId();
  const given = state.valueOf(keyOf('provenance', of));
  const range = state.valueOf(keyOf('assumed_range', of));
  const shown = given || (range !== '' ? 'assumed' : '');
  const choose = async (to: string) => {
    if (range !== '' && to !== 'assumed') await removeKey(keyOf('assumed_range', of));
    if (to === '') await removeKey(keyOf('provenance', of));
    else await setKey(keyOf('provenance', of), to);
  };
  const [low = '', high = ''] = range.replace(/^\[|\]$/g, '').split(',').map(t => t.trim().replace(/^["']|["']$/g, ''));
  const setRange = (from: string, to: string) => {
    if (from === '' && to === '') return range === '' ? undefined : void removeKey(keyOf('assumed_range', of));
    if (from !== '' && to !== '') void setKeys([{key: keyOf('assumed_range', of), value: `["${from}", "${to}"]`}]).then(wrong => {
      state.refused.value = {...state.refused.value, ...wrong ? {[of]: {typed: value, message: wrong}} : {}};
    });
    return undefined;
  };
  return <><span class="source">
    <label class="hidden" for={id}>{texts.source_of(label)}</label>
    <select id={id} class={shown === 'assumed' ? 'assumed' : ''} value={shown} onChange={e => void choose(e.currentTarget.value)}>
      {sources.map(source => <option value={source}>{source === '' ? `${texts.source}: ${texts.sources['']}` : texts.sources[source]}</option>)}
    </select>
    {shown === 'assumed' && <span class="range">
      <label>{texts.range_low} <input size={7} value={low} onChange={e => setRange(e.currentTarget.value.trim(), high || value)} /></label>
      <label>{texts.range_high} <input size={7} value={high} onChange={e => setRange(low || value, e.currentTarget.value.trim())} /></label>
    </span>}
  </span>
  {state.deciding.value.includes(of) && <strong class="decides">{shown === 'assumed' ? texts.it_decides : texts.turns}</strong>}</>;
}
