// The answer, which stays in sight: one sentence, a mark a year, six figures, and what changed.
import {useState} from 'preact/hooks';
import {changeOf, changeWords, type FigureName} from '../change';
import {number, volume, whole} from '../format';
import {keepOption, nextName, setOption} from '../actions';
import * as state from '../state';
import {texts} from '../texts';
import {Dots} from './Dots';
import {Figure} from './Figure';

function Sentence() {
  const answer = state.verdict.value;
  if (state.problem.value !== '') return <p id="sentence">{texts.refused} <span class="wrong">{state.problem.value}</span></p>;
  if (!answer) return <p id="sentence">{state.running.value ? texts.running : texts.no_years}</p>;
  const v = state.judged(answer.verdict, answer.source), winters = answer.verdict.winters;
  if (state.partial.value) return <p id="sentence"><strong>{texts.so_far(v.held, v.years, winters)}</strong></p>;
  return <p id="sentence">
    <strong>{texts.held(v.held, v.years, answer.source, winters)}</strong>
    <span class="verdict"> {v.met ? texts.verdict_yes : texts.verdict_no}{v.close ? texts.close_verdict : ''}</span>
    <span class="note"> {texts.interval(v.held_low, v.held_high, v.needed)}, {answer.verdict.judged === 'new' ? texts.battery_new : texts.battery_aged}. {v.limit_met ? '' : texts.longer_than_allowed}</span>
  </p>;
}

// "1 in 10: 9 h short; worst: 31 h (made winter 23; longest 20 h, 4 to 5 Jan: the battery was empty)" -> the part behind "worst: ".
export function worstWords(words: string | undefined): string {
  const found = /worst: ([^]*)$/.exec(words ?? '')?.[1] ?? '';
  return found.replace(/\s+/g, ' ').replace(/\.$/, '');
}

function Six() {
  const f = state.figures.value;
  if (!f) return null;
  const units = state.units.value;
  const {year} = f;
  const worst = worstWords(state.verdict.value?.worst);
  const value: Record<FigureName, string> = {
    autonomy: f.autonomy_d === undefined ? '…' : f.autonomy_d === null ? texts.over_days(60) : texts.days(f.autonomy_d.toFixed(1)),
    worst: state.verdict.value?.worst === undefined ? (state.running.value ? '…' : texts.none_short) : worst.replace(/ ?\(.*$/, '') || texts.none_short,
    start: f.start || '–',
    backup: [...year.generator_run_h > 0 ? [texts.backup_generator(number(year.generator_run_h), volume(year.generator_fuel_l, units))] : [],
      ...year.grid_kwh > 0 ? [texts.backup_grid(number(year.grid_kwh))] : []].join('; ') || texts.no_backup,
    starts: texts.starts_a_day((year.pump_starts / 365).toFixed(1), number(year.max_starts_per_day)),
    cost: f.cost ? texts.cost_over(whole(f.cost.life_cycle_cost), f.cost.currency, number(f.cost.years)) : texts.no_prices,
  };
  const names: FigureName[] = ['autonomy', 'worst', 'start', 'backup', 'starts', 'cost'];
  return <div class="figures" id="figures">{names.map(name => <Figure name={texts.figures[name]} help={texts.figures[`${name}_help`]} value={value[name]}
    detail={name === 'worst' ? /\((.*)\)/.exec(worst)?.[1] ?? '' : ''}
    change={state.before.value && !state.partial.value ? changeOf(name, state.before.value, f) : undefined} />)}</div>;
}

function Since() {
  const last = state.lastSaved.value, now = state.figures.value;
  if (!last?.figures || !now || last.text === state.design.value?.text || state.partial.value || state.running.value) return null;
  const words = changeWords(last.figures, now, state.units.value);
  return <p class="since" id="since">{words === '' ? texts.since_nothing(last.name) : texts.since(last.name, words)}</p>;
}

export function Answer() {
  const [open, setOpen] = useState(false);
  const v = state.verdict.value;
  const stale = state.running.value && state.verdictVersion.value !== state.version.value;
  const judged = v && state.judged(v.verdict, v.source);
  return <section id="answer" class={open ? 'open' : ''} aria-labelledby="answer-title" aria-busy={state.running.value}>
    <button type="button" class="bar-opener" aria-expanded={open} onClick={() => setOpen(!open)}>{open ? texts.less_answer : texts.whole_answer}</button>
    <h2 id="answer-title" tabIndex={-1}>{texts.answer_title}</h2>
    <p id="spoken" class="hidden" role="status">{state.spoken.value}</p>
    {state.options.value.length > 0 && <p><label>{texts.design} <select id="option" value={state.option.value} onChange={e => setOption(e.currentTarget.value)}>
      <option value="">{texts.base_design}</option>{state.options.value.map(name => <option value={name}>{name}</option>)}</select></label></p>}
    <div class={stale ? 'stale' : ''}>
      <Sentence />
      {judged && state.problem.value === '' && <Dots hours={judged.hours_short} winters={v.verdict.winters} />}
    </div>
    <Six />
    <Since />
    <p class="tools"><button type="button" id="keep" disabled={!state.figures.value || state.running.value} onClick={keepOption}>{texts.keep(nextName())}</button></p>
    {state.warnings.value.length > 0 && <details class="folded"><summary>{texts.warnings(state.warnings.value.length)}</summary>
      <ul>{state.warnings.value.map(w => <li>{w}</li>)}</ul></details>}
  </section>;
}
