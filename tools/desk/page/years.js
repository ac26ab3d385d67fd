// The verdict over many years, as a sentence and a mark for each year.
import {element} from './dom.js';

const marks = [
  ['●', 0, 'no shortage'],
  ['◐', 24, 'short up to 24 h'],
  ['○', 100, 'up to 100 h'],
  ['✕', Infinity, 'over 100 h'],
];
const mark = hours => marks.find(([, most]) => hours <= most);
const cap = text => text[0].toUpperCase() + text.slice(1);

const battery = {end_of_life: 'battery at the end of its life', new: 'battery as it is now'};

// The sets of the verdict that is judged: [source, figures].
export const judged = verdict => Object.entries(verdict[verdict.judged]);

export function sentence(verdict) {
  const name = verdict.winters ? 'winters' : 'years';
  return judged(verdict).map(([source, v]) =>
    `${v.met ? 'YES' : 'NO'}${v.close ? ', but close' : ''}: ${v.held} of ${v.years} ${source} ${name} without a shortage ` +
    `(90 % interval ${v.held_low} to ${v.held_high}), ${battery[verdict.judged]}; required: ${v.needed}.` +
    `${v.limit_kept ? '' : ' A shortage is longer than the requirements allow.'}`).join(' ');
}

export function showYears(into, verdict) {
  const name = verdict.winters ? 'winter' : 'year';
  into.replaceChildren(...['new', 'end_of_life'].flatMap(age => Object.entries(verdict[age] ?? {}).map(([source, v]) =>
    element('figure', {},
      element('figcaption', {}, `${cap(source)} ${name}s, ${battery[age]}: ${v.held} of ${v.years} without a shortage` +
        (v.worst_hours_short > 0 ? `; the worst ${name} is ${v.worst_hours_short.toFixed(0)} h short of water` : '')),
      element('p', {className: 'marks', 'aria-hidden': 'true'}, v.hours_short.map(h => mark(h)[0]).join(''))))),
    element('p', {className: 'note'}, `One mark a ${name}, best first: `, marks.map(([sign, , words]) => `${sign} ${words}`).join('  ')));
}
