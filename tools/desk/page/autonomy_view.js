// How long the design lasts without sun: the answer of `autonomy` for one design, as it is now and after some years.
import {element} from './dom.js';
import {answerTable} from './answer_table.js';

const looked_at_d = 60, worst_period_d = 7;  // as in the command; no shortage within these days is null

const days = (value, most) => value === null ? `> ${most}` : value.toFixed(value < 1 ? 2 : 1);
const both = (worst, median, most) => `${days(worst, most)} / ${days(median, most)} d`;

const rows = [
  ['No sun: water (autonomy), worst / median start date', d => both(d.autonomy_water_worst_d, d.autonomy_water_median_d, looked_at_d)],
  ['No sun: power, worst / median start date', d => both(d.autonomy_power_worst_d, d.autonomy_power_median_d, looked_at_d)],
  ["The file's worst 7 days: water, worst / median start date", d => both(d.site_period_water_worst_d, d.site_period_water_median_d, worst_period_d)],
  ["The file's worst 7 days: start dates without a shortage", d => `${(100 * d.site_period_held).toFixed(0)} %`],
  ['Battery capacity', d => `${d.battery_kwh.toFixed(1)} kWh`],
  ['Usable in the battery', d => `${d.usable_kwh.toFixed(1)} kWh`],
];

export function autonomySentence(d) {
  const no_sun = d.autonomy_water_worst_d === null
    ? `Water for more than ${looked_at_d} days without any sun, from every start date.`
    : `Water for ${days(d.autonomy_water_worst_d)} days without any sun, battery full at sunset, worst start date.`;
  const worst = d.site_period_water_worst_d === null
    ? `In the file's worst ${worst_period_d} days there is no shortage, from every start date.`
    : `In the file's worst ${worst_period_d} days: water for ${days(d.site_period_water_worst_d)} days from the worst start date; ` +
      `${(100 * d.site_period_held).toFixed(0)} % of the start dates are without a shortage.`;
  return `${no_sun} ${worst}`;
}

const definition = `Days from the start to the first shortage of water, or until the inverter stops (power), from every start date of the year, without ` +
  `grid and generator. No sun: from sunset with a full battery. The file's worst ${worst_period_d} days: the ${worst_period_d} days with the lowest array ` +
  'energy in the weather file, moved to every start date, from 00:00, with the battery at the SOC that the typical year has then. Cistern ' +
  'and trough begin where the typical year has them at that date and hour. “>”: no shortage within the days looked at.';

// `run` answers `autonomy`, or null if it was stopped.
export function autonomyView(run) {
  const state = element('p', {role: 'status'}, 'Running every start date of the year. This takes some seconds.');
  const out = element('div');
  run().then(found => {
    if (!found) return;
    if (found.error) return void (state.textContent = found.error);
    const designs = found.answer.designs;
    state.textContent = autonomySentence(designs[0]);
    const heads = designs.map(d => d.age_y === 0 ? 'now' : `after ${d.age_y} years`);
    out.replaceChildren(answerTable('Autonomy', ['figure', ...heads], rows.map(([label, of]) => [label, ...designs.map(of)])),
      ...designs.some(d => d.life_assumed) ? [element('p', {className: 'note'}, 'The scenario states no battery life, so the aged battery is taken at the end of its life (assumed).')] : [],
      element('p', {className: 'note'}, definition));
  });
  return [element('h3', {}, 'How long does it last without sun?'), state, out];
}
