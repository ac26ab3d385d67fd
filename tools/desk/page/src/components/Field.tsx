// One key: label, value with its unit, source, range as faint text, and the command's own message when the value is refused.
import {useEffect, useRef} from 'preact/hooks';
import {setKey} from '../actions';
import {capital, shortRange} from '../format';
import * as state from '../state';
import {labelOf, type FieldOf} from '../stations';
import {texts} from '../texts';
import {keepTyping} from '../store';
import {stepped} from '../typing';
import {Source} from './Source';

const pause_ms = 350;
const has_source = (kind: string) => !['text', 'choice', 'path', 'column', 'unit', 'list of paths', 'yes or no'].includes(kind);

const plain = (usual: string) => ({true: 'yes', false: 'no'}[usual] ?? usual).replaceAll('`', '');

export function Field({field, table}: {field: FieldOf; table: string}) {
  const {key, text, value} = field;
  const id = 'key-' + key.replace(/[^\w-]/g, '-');
  const label = labelOf(key, table), shown = value?.shown ?? '';
  const refused = state.refused.value[key];
  const input = useRef<HTMLInputElement & HTMLTextAreaElement>(null);
  const timer = useRef(0);
  useEffect(() => {
    // What is being typed stays; everything else follows the design.
    if (input.current && document.activeElement !== input.current) input.current.value = refused?.typed ?? shown;
  }, [shown, refused]);

  // `done`: the typing is over, and the field shows the value as the scenario has it.
  const send = (done: boolean) => {
    clearTimeout(timer.current);
    const typed = input.current!.value;
    // The state of this moment, which may be newer than what is drawn.
    const last = state.refused.value[key]?.typed ?? state.valueOf(key);
    if (typed.trim() === last.trim()) {
      if (!state.refused.value[key]) keepTyping(null);
      if (done && !state.refused.value[key]) input.current!.value = state.valueOf(key);
      return;
    }
    void setKey(key, typed).then(wrong => {
      if (!wrong && done && input.current?.value === typed) input.current.value = state.valueOf(key);
    });
  };
  const onInput = () => {
    keepTyping({key, typed: input.current!.value});
    clearTimeout(timer.current);
    timer.current = window.setTimeout(() => send(false), pause_ms);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key === 'Enter') send(true);
    if (event.key === 'Escape' && input.current) {
      input.current.value = shown;
      keepTyping(null);
      void setKey(key, shown);
    }
    if (event.key !== 'ArrowUp' && event.key !== 'ArrowDown') return;
    const next = stepped(input.current!.value, event.key === 'ArrowUp', {whole: text?.kind === 'whole number', of_part: state.partSizes.value[key] ?? ''});
    if (next === null) return;
    event.preventDefault();
    input.current!.value = next;
    onInput();
  };
  const about = [shortRange(text?.range ?? ''), text && !['', 'none'].includes(text.usual) ? texts.usual(plain(text.usual)) : ''].filter(t => t).join('; ');
  const described = `${id}-about ${id}-wrong`;
  const common = {id, 'data-key': key, 'aria-describedby': described, 'aria-invalid': refused ? true : undefined};
  const choices = text?.choices ?? [];
  return <div class="field">
    <label for={id}>{label}{text?.unit && shown === '' ? <span class="unit"> ({text.unit})</span> : null}</label>
    <div class="entry">
      {choices.length > 0
        ? <select {...common} value={refused ? '' : shown} onChange={e => void setKey(key, e.currentTarget.value)}>
          {(shown === '' || !choices.includes(shown)) && <option value={shown}>{shown || texts.choose}</option>}
          {choices.map(c => <option value={c}>{c}</option>)}
        </select>
        : (value?.value ?? '').includes('\n')
          ? <textarea {...common} ref={input} rows={4} spellcheck={false} defaultValue={refused?.typed ?? shown} onInput={onInput} onBlur={() => send(true)} />
          : <input {...common} ref={input} spellcheck={false} autocomplete="off" defaultValue={refused?.typed ?? shown} placeholder={text?.usual === 'required' ? '' : plain(text?.usual ?? '')}
            onInput={onInput} onBlur={() => send(true)} onKeyDown={onKeyDown} />}
      {value && has_source(text?.kind ?? '') && <Source of={key} label={label} value={shown} />}
    </div>
    <span class="about" id={`${id}-about`}>{[about, capital(text?.help.replaceAll('`', '') ?? ''), value?.note ? texts.note_in_file(value.note) : ''].filter(t => t).join('. ')}</span>
    <span class="wrong" id={`${id}-wrong`} role={refused ? 'alert' : undefined}>{refused ? `${refused.message} ${texts.still(shown)}` : ''}</span>
  </div>;
}
