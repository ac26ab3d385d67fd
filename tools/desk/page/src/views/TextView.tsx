// The scenario file as text; comments stay as they are.
import {useEffect, useState} from 'preact/hooks';
import {useText} from '../actions';
import {fileName} from '../format';
import {design} from '../state';
import {texts} from '../texts';

export function TextView() {
  const [text, setText] = useState(design.value!.text);
  const [wrong, setWrong] = useState('');
  useEffect(() => setText(design.value!.text), [design.value]);
  return <>
    <h3>{texts.text_title}</h3>
    <label for="file-text">{fileName(design.value!.path)}</label>
    <textarea id="file-text" rows={30} spellcheck={false} value={text} onInput={e => setText(e.currentTarget.value)} />
    <p class="wrong" role="alert">{wrong}</p>
    <p><button type="button" id="use-text" onClick={() => void useText(text).then(setWrong)}>{texts.take}</button></p>
  </>;
}
