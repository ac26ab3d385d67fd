// Title, saved state, undo and redo, open and save, units and colors.
import {redo, save, setTheme, setUnits, undo} from '../actions';
import * as state from '../state';
import {texts} from '../texts';
import type {Units} from '../types';

export function Header() {
  const design = state.design.value;
  return <header>
    <div>
      <h1 id="title" dir="auto">{state.title.value || texts.program}</h1>
      <p id="place" class="note" dir="auto">{state.place.value || (state.phase.value === 'starting' ? texts.starting : '')}</p>
    </div>
    <div class="tools">
      {design && <>
        <button id="undo" type="button" disabled={state.past.value.length === 0} onClick={() => void undo()}>{texts.undo}</button>
        <button id="redo" type="button" disabled={state.future.value.length === 0} onClick={() => void redo()}>{texts.redo}</button>
        <button id="doors" type="button" aria-expanded={state.door.value !== 'none'} onClick={() => { state.door.value = state.door.value === 'none' ? 'doors' : 'none'; }}>{texts.open}</button>
        <button id="save" type="button" onClick={save}>{texts.save}</button>
      </>}
      <label>{texts.units} <select id="units" value={state.units.value} onChange={e => setUnits(e.currentTarget.value as Units)}>
        <option value="us">{texts.us}</option><option value="metric">{texts.metric}</option></select></label>
      <label>{texts.theme} <select id="theme" value={state.theme.value} onChange={e => setTheme(e.currentTarget.value as state.Theme)}>
        <option value="auto">{texts.theme_auto}</option><option value="light">{texts.theme_light}</option><option value="dark">{texts.theme_dark}</option></select></label>
    </div>
    <p id="saved" class="note" role="status">{state.savedWords.value}</p>
  </header>;
}
