// Three doors: begin from questions, open files, look at a demo.
import {openDemo, openFiles} from '../actions';
import * as state from '../state';
import {texts} from '../texts';

export const accepted = '.toml,.csv,.epw,.tm2,.tm3,.json,.txt,.html,.htm';

export function Doors() {
  return <section class="doors" aria-labelledby="doors-title">
    <h2 id="doors-title">{texts.doors_title}</h2>
    <div class="door"><h3>{texts.door_questions}</h3><p class="note">{texts.door_questions_help}</p>
      <button type="button" id="begin" onClick={() => { state.door.value = 'questions'; }}>{texts.door_questions}</button></div>
    <div class="door"><h3>{texts.door_open}</h3><p class="note">{texts.door_open_help}</p>
      <label class="button">{texts.door_open}<input id="open" type="file" multiple accept={accepted}
        onChange={e => { const {files} = e.currentTarget; if (files) void openFiles(files).finally(() => { (e.target as HTMLInputElement).value = ''; }); }} /></label></div>
    <div class="door"><h3>{texts.door_demo}</h3><p class="note">{texts.door_demo_help}</p>
      <ul class="demos">{state.demos.value.map(({path, title}) => <li><button type="button" data-demo={path} onClick={() => void openDemo(path)}>{title}</button></li>)}</ul></div>
    {state.design.value && <p class="tools"><button type="button" onClick={() => { state.door.value = 'none'; }}>{texts.close}</button></p>}
  </section>;
}
