// The questions of `init` as a form. Their names are those of the command's options.
import {useEffect, useRef, useState} from 'preact/hooks';
import {startDesign} from '../actions';
import {door} from '../state';
import {formValues, keepForm, keptForm} from '../store';
import {texts} from '../texts';
import type {Units} from '../types';

interface Question {
  name: keyof typeof texts.question;
  usual: Record<Units, string>;
  unit?: Record<Units, string>;
  choices?: string[];
}
const both = (text: string) => ({us: text, metric: text});
export const questions: Question[] = [
  {name: 'place', usual: both(texts.question_usual.place)},
  {name: 'latitude', usual: both('44')},
  {name: 'longitude', usual: both('-100')},
  {name: 'elevation', usual: {us: '650 ft', metric: '200 m'}, unit: {us: 'ft', metric: 'm'}},
  {name: 'depth', usual: {us: '120 ft', metric: '40 m'}, unit: {us: 'ft', metric: 'm'}},
  {name: 'pump', usual: {us: '1 hp', metric: '0.75 kW'}, choices: []},
  {name: 'wiring', usual: both('3-wire'), choices: ['3-wire', '2-wire']},
  {name: 'switch', usual: {us: '40/60 psi', metric: '2.8/4.1 bar'}, unit: {us: 'psi', metric: 'bar'}},
  {name: 'tank', usual: both(texts.question_usual.tank), unit: {us: 'gal', metric: 'L'}},
  {name: 'people', usual: both('3')},
  {name: 'backup', usual: both('none'), choices: ['none', 'grid', 'generator']},
  {name: 'generator', usual: both(texts.question_usual.generator), unit: both('kW')},
  {name: 'battery-place', usual: both('heated'), choices: ['heated', 'unheated']},
  {name: 'ac', usual: {us: '240 V 60 Hz', metric: '230 V 50 Hz'}},
];
const motors: Record<Units, string[]> = {us: ['0.5', '0.75', '1', '1.5', '2', '3', '5'], metric: ['0.37', '0.55', '0.75', '1.1', '1.5', '2.2', '3.7']};

/** The answers for the border: a number alone gets the unit of its question, an empty answer the usual one where one is needed. */
export function answersOf(given: Record<string, string>, units: Units): Record<string, string> {
  const answers: Record<string, string> = {units};
  for (const q of questions) {
    const typed = (given[q.name] ?? '').trim().replace(/^(-?\d+),(\d{1,2})$/, '$1.$2');
    if (q.name === 'pump') answers[units === 'us' ? 'pump-hp' : 'pump-kw'] = typed || (units === 'us' ? '1' : '0.75');
    else if (typed !== '') answers[q.name] = q.unit && /^[\d./-]+$/.test(typed) ? `${typed} ${q.unit[units]}` : typed;
    else if (q.name === 'latitude' || q.name === 'longitude') answers[q.name] = q.usual[units];
  }
  return answers;
}

// "init: --depth: 900 m is out of range": the question, and what was wrong with its answer.
export function wrongAt(error: string): {name: string; message: string} {
  const found = /^init: --([\w-]+): ([^]*)$/.exec(error);
  return {name: (found?.[1] ?? '').replace(/^pump-(hp|kw)$/, 'pump'), message: found?.[2] ?? error.replace(/^init: /, '')};
}

export function Questions() {
  const [kept] = useState(() => keptForm('questions'));
  const [units, setUnits] = useState<Units>(kept.units === 'metric' ? 'metric' : 'us');
  const [wrong, setWrong] = useState({name: '', message: ''});
  // The button that opened the form is gone, and the focus with it.
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  const submit = async (event: SubmitEvent) => {
    event.preventDefault();
    const error = await startDesign(answersOf(formValues(event.currentTarget as HTMLFormElement), units));
    if (error === '') keepForm('questions', null);
    const at = wrongAt(error);
    setWrong(at);
    if (at.name !== '') document.getElementById(`question-${at.name}`)?.focus();
  };
  return <section class="questions" aria-labelledby="questions-title">
    <h2 id="questions-title" ref={heading} tabIndex={-1}>{texts.questions_title}</h2>
    <p class="note">{texts.questions_note}</p>
    <form onSubmit={e => void submit(e as unknown as SubmitEvent)} onInput={e => keepForm('questions', formValues(e.currentTarget))} noValidate>
      <fieldset><legend>{texts.units}</legend>{(['us', 'metric'] as const).map(u =>
        <label class="choice"><input type="radio" name="units" value={u} checked={units === u} onChange={() => setUnits(u)} /> {texts[u]}</label>)}</fieldset>
      {questions.map(q => {
        const id = `question-${q.name}`, choices = q.name === 'pump' ? motors[units] : q.choices;
        const of = {id, name: q.name, 'aria-describedby': `${id}-wrong`, 'aria-invalid': wrong.name === q.name ? true : undefined};
        return <div class="field">
          <label for={id}>{texts.question[q.name]}{q.name === 'pump' ? (units === 'us' ? ', hp' : ', kW') : ''}</label>
          {choices ? <select {...of} key={units}>{choices.map(c => <option value={c} selected={kept[q.name] !== undefined && choices.includes(kept[q.name]!) ? c === kept[q.name] : q.name === 'pump' ? c === (units === 'us' ? '1' : '0.75') : undefined}>{c}</option>)}</select>
            : <input {...of} autocomplete="off" placeholder={q.usual[units]} defaultValue={kept[q.name]} />}
          <span class="wrong" id={`${id}-wrong`} role={wrong.name === q.name ? 'alert' : undefined}>{wrong.name === q.name ? wrong.message : ''}</span>
        </div>;
      })}
      <p class="wrong" role="alert">{wrong.name === '' ? wrong.message : ''}</p>
      <p class="tools"><button id="questions-go">{texts.questions_go}</button>
        <button type="button" onClick={() => { door.value = 'doors'; }}>{texts.close}</button></p>
    </form>
  </section>;
}
