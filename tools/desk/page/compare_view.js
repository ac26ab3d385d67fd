// The options side by side: the answer of `compare`.
import {answerTable} from './answer_table.js';
import {element} from './dom.js';
import {fuel, number} from './figures.js';

const whole = v => v.toLocaleString('en-US', {maximumFractionDigits: 0});
const days = (v, most) => v === null ? `> ${most}` : v.toFixed(1);

// [name in the answer, words, how a value is written]. A row that no design has is left out.
const rows = (us, currency) => [
  ['years_without_shortage', 'Years without a shortage', (v, d) => `${v} of ${d.years.years}`],
  ['demand_met_fraction', 'Demand met', v => `${(100 * v).toFixed(2)} %`],
  ['shortage_hours', 'Hours short of water', v => `${whole(v)} h`],
  ['years', 'Hours short of water, 10-90 % of the years', v => `${whole(v.shortage_hours.low)}-${whole(v.shortage_hours.high)} h`],
  ['longest_shortage_h', 'Longest shortage', v => `${whole(v)} h`],
  ['soc_min', 'Lowest SOC', v => `${whole(100 * v)} %`],
  ['generator_run_h', 'Generator run time', v => `${number(v)} h`],
  ['generator_fuel_l', 'Generator fuel', v => fuel(v, us)],
  ['grid_kwh', 'Energy from the grid', v => `${whole(v)} kWh`],
  ['starts_per_day', 'Pump starts a day', v => v.toFixed(1)],
  ['autonomy_days', 'Autonomy: water', v => `${days(v, 60)} d`, true],
  ['site_period_water_worst_d', "The file's worst 7 days: water", v => `${days(v, 7)} d`, true],
  ['purchase', `Purchase, ${currency}`, whole],
  ['replacement_cost', `Replacements less residual value, ${currency}`, whole],
  ['energy_cost', `Fuel and grid, ${currency}`, whole],
  ['upkeep_cost', `Maintenance, ${currency}`, whole],
  ['life_cycle_cost', `Life-cycle cost (present value), ${currency}`, whole],
];

// `run` answers `compare`, or null if it was stopped. `options`: the names of the scenario's options.
export function compareView(run, options, us, currency) {
  const title = element('h3', {}, 'Which option is better, and why?');
  if (options.length === 0)
    return [title, element('p', {}, 'This scenario has no options. Add [[option]] sections in “File as text”, or keep this answer above and change the design.')];
  const state = element('p', {role: 'status'}, 'Running every option in the same years. This takes some seconds.');
  const out = element('div');
  run().then(found => {
    if (!found) return;
    if (found.error) return void (state.textContent = found.error);
    const {designs, best, first, order, cost_note, years_note} = found.answer;
    state.textContent = `First: ${first} (${order}).`;
    const shown = rows(us, currency).filter(([name, , , endless]) => designs.every(d => name in d && (endless || d[name] !== null)));
    const table = shown.map(([name, words, show]) =>
      [words, ...designs.map(d => show(d[name], d) + (best[name]?.includes(d.name) ? ' *' : ''))]);
    out.replaceChildren(answerTable('Options side by side', ['figure', ...designs.map(d => d.name)], table),
      element('p', {className: 'note'}, '* best of its row. Autonomy: days without sun to the first shortage of water, battery full at sunset, no grid or generator, worst start date. ' +
        "The file's worst 7 days: moved to every start date, to the first shortage of water, worst start date."),
      ...[years_note, cost_note].filter(t => t).map(t => element('p', {className: 'note'}, t.replaceAll('\n', ' '))),
      element('ul', {}, ...designs.map(d => element('li', {}, `${d.name}: ${d.reason}.`))));
  });
  return [title, state, out];
}
