// The scenario file as text; comments stay as they are.
import {useEffect, useState} from 'preact/hooks';
import {useText} from '../actions';
import {fileName} from '../format';
import {design} from '../state';
import {keepForm, keptForm} from '../store';
import {texts} from '../texts';

// What was typed here and not used yet, as long as the design is the one of which it was made.
const kept = (of: string) => { const {was, text} = keptForm('text'); return was === of && text !== undefined ? text : of; };

export function TextView() {
  const now = design.value!.text;
  const [text, setText] = useState(() => kept(now));
  const [wrong, setWrong] = useState('');
  useEffect(() => setText(kept(now)), [now]);
  const type = (typed: string) => {
    setText(typed);
    keepForm('text', {was: now, text: typed});
  };
  const use = async () => {
    const found = await useText(text);
    setWrong(found);
    if (found === '') keepForm('text', null);
  };
  return <>
    <h3>{texts.text_title}</h3>
    <label for="file-text">{fileName(design.value!.path)}</label>
    <textarea id="file-text" rows={30} spellcheck={false} value={text} onInput={e => type(e.currentTarget.value)} />
    <p class="wrong" role="alert">{wrong}</p>
    <p><button type="button" id="use-text" onClick={() => void use()}>{texts.take}</button></p>
  </>;
}
