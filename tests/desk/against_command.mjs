// Every demo through the web build and through the command: what --json prints must agree. Numbers to 1e-9 of the larger,
// whole numbers and texts exactly, wall_time_s apart. What is left of a difference of larger numbers, below 1e-12 of any unit in both,
// counts as zero. Few made years, so that it ends in minutes. Texts may differ in the digits of a figure to the same measure.
// Usage: node against_command.mjs BUILD_OF_THE_COMMAND BUILD_FOR_THE_WEB [--ci] [DEMO.toml...]
// --ci: year and check of each demo, the report of the first one, a key set and refused.
import {execFileSync} from 'node:child_process';
import {createHash} from 'node:crypto';
import {mkdtempSync, readFileSync, readdirSync, rmSync} from 'node:fs';
import {createRequire} from 'node:module';
import {tmpdir} from 'node:os';
import {dirname, join, resolve} from 'node:path';
import {fileURLToPath} from 'node:url';
import {openEngine} from '../../tools/desk/engine.mjs';

const [native, web] = process.argv.slice(2, 4).map(folder => resolve(folder)), rest = process.argv.slice(4);
const ci = rest.includes('--ci'), some = rest.filter(word => word !== '--ci');
const source = join(dirname(fileURLToPath(import.meta.url)), '../..');
const scratch = mkdtempSync(join(tmpdir(), 'holdwater-desk-'));
const create = createRequire(import.meta.url)(join(web, 'holdwater.js'));
const wasm = readFileSync(join(web, 'holdwater.wasm'));
const tolerance = 1e-9, dust = 1e-12;

let passed = 0, failed = 0, numbers = 0, worst = 0, worst_at = '';
function check(holds, what) {
  if (holds) return void ++passed;
  ++failed;
  console.log('FAILED ' + what);
}

// Where two answers differ, in words; '' where nowhere.
function difference(ours, theirs, at) {
  if (at.endsWith('.wall_time_s')) return '';
  if (typeof ours === 'number' && typeof theirs === 'number') {
    ++numbers;
    if (ours === theirs) return '';
    const apart = Math.abs(ours - theirs) / Math.max(Math.abs(ours), Math.abs(theirs));
    // A balance error is a difference of large numbers: what counts is that it is as good as zero.
    if (/_residual_/.test(at)) return Math.abs(ours) < 1e-6 && Math.abs(theirs) < 1e-6 ? '' : `${at}: ${ours}, ${theirs}`;
    if (Math.max(Math.abs(ours), Math.abs(theirs)) < dust) return '';
    if (Number.isInteger(ours) && Number.isInteger(theirs)) return `${at}: ${ours}, ${theirs}`;
    if (apart > worst) [worst, worst_at] = [apart, at];
    return apart <= tolerance ? '' : `${at}: ${ours}, ${theirs}`;
  }
  if (Array.isArray(ours) && Array.isArray(theirs)) {
    if (ours.length !== theirs.length) return `${at}: ${ours.length}, ${theirs.length} entries`;
    return ours.map((o, i) => difference(o, theirs[i], `${at}[${i}]`)).find(d => d) ?? '';
  }
  if (ours && theirs && typeof ours === 'object' && typeof theirs === 'object') {
    const keys = Object.keys(ours);
    if (keys.join() !== Object.keys(theirs).join()) return `${at}: other keys`;
    return keys.map(k => difference(ours[k], theirs[k], `${at}.${k}`)).find(d => d) ?? '';
  }
  return ours === theirs ? '' : `${at}: ${JSON.stringify(ours)}, ${JSON.stringify(theirs)}`;
}

function end() {
  rmSync(scratch, {recursive: true});
  console.log(`${numbers} numbers; largest relative difference ${worst.toExponential(1)} (${worst_at})`);
  console.log('milliseconds, all demos: ' + Object.entries(milliseconds).map(([k, v]) => `${k} ${Math.round(v)}`).join(', '));
  console.log(`${passed} passed, ${failed} failed`);
  process.exit(failed === 0 ? 0 : 1);
}

function command(...words) {
  const options = {cwd: source, encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'], maxBuffer: 1 << 28};
  try {
    return execFileSync(join(native, 'holdwater'), words, options);
  } catch (error) {
    if (error.status === 1) return error.stdout;  // an answer that fails a requirement
    throw error;
  }
}

function putFolder(engine, folder) {
  for (const file of readdirSync(join(source, folder), {withFileTypes: true}))
    if (file.isFile() && /\.(toml|csv)$/.test(file.name)) {
      const path = `${folder}/${file.name}`;
      check(engine.putFile(path, readFileSync(join(source, path))) === '', 'put ' + path);
    }
}

const began = Date.now();
let told = [];
const engine = await openEngine(create, wasm, share => told.push(share));
console.log(`started in ${Date.now() - began} ms`);
for (const folder of ['scenarios', 'scenarios/parts', 'scenarios/weather']) putFolder(engine, folder);

const demos = readdirSync(join(source, 'scenarios')).filter(f => f.endsWith('.toml') && (some.length === 0 || some.includes(f))).sort();
const milliseconds = {};
for (const demo of demos) {
  const path = 'scenarios/' + demo, text = readFileSync(join(source, path), 'utf8');
  const loaded = engine.call('load_scenario', {path});
  check(!loaded.error, `${demo}: ${loaded.error}`);
  if (loaded.error) continue;
  check(engine.call('save').answer === text, `${demo}: save gives back the file`);
  const all_calls = [
    ['year', {years: 10}, ['simulate', path, '--years', '10', '--out', join(scratch, 'year.h5')]],
    ['check', {}, ['check', path]],
    ['autonomy', {every: 30}, ['autonomy', path, '--every', '30']],
    ['years', {years: 5, seed: 3}, ['years', path, '--years', '5', '--seed', '3']],
    ['report', {date: '2031-05-06', years: 10}, ['report', path, '--date', '2031-05-06', '--years', '10']],
  ];
  if (loaded.answer.options.length > 0) all_calls.push(['compare', {years: 3}, ['compare', path, '--years', '3']]);
  if (/^\[search/m.test(text)) all_calls.push(['size', {years: 3}, ['size', path, '--years', '3']]);
  if (/^\[assumed_range/m.test(text)) all_calls.push(['sensitivity', {years: 3}, ['sensitivity', path, '--years', '3']]);
  const calls = ci ? all_calls.filter(([call]) => ['year', 'check'].includes(call) || (call === 'report' && demo === demos[0])) : all_calls;
  for (const [call, request, words] of calls) {
    const from = performance.now();
    const ours = engine.call(call, request);
    milliseconds[call] = (milliseconds[call] ?? 0) + performance.now() - from;
    if (ours.error) {
      check(false, `${demo}, ${call}: ${ours.error}`);
      continue;
    }
    const theirs = JSON.parse(command(...words, '--json'));
    const what = difference(call === 'report' ? ours.answer.content : ours.answer, theirs, call);
    check(what === '', `${demo}, ${what}`);
    if (call !== 'report') continue;
    const out = join(scratch, 'report.html');
    command(...words, '--out', out);
    const page = readFileSync(out);
    const same = createHash('sha256').update(ours.answer.page).digest('hex') === createHash('sha256').update(page).digest('hex');
    check(same, `${demo}: the page of the report is the same to the byte`);
  }
  console.log(`${demo} ${calls.map(([call]) => call).join(' ')}`);
}

// A key that is set, and one that cannot be: the last good value stays.
const path = 'scenarios/juniper-bend-household.toml';
engine.call('load_scenario', {path});
check(engine.call('set_key', {key: 'battery.capacity', value: '14 kWh'}).answer === true, 'set a key');
const edited = engine.call('save').answer;
check(/^capacity += "14 kWh" /m.test(edited), 'the key is in the text');
// A second use of water takes the daily demand beside it as a use of its own, and with nothing drawn the figures stay.
const one_use = engine.call('year', {years: 0}).answer;
check(engine.call('add', {list: 'use', lines: 'name = "garden"\nkind = "other"\ndaily = "0 gal/day"\n'}).answer === true, 'a use beside the daily demand');
check(/\[\[use\]\]\nname = "house"\nkind = "other"\ndaily = "225 gal\/day"\ntap_flow = "3 gpm"\n/.test(engine.call('save').answer), 'the daily demand is a use');
const two_uses = engine.call('year', {years: 0}).answer;
check(difference(two_uses, one_use, 'year') === '', `with the same figures: ${difference(two_uses, one_use, 'year')}`);
engine.call('set_text', {text: edited});
const usual = (key, units) => engine.call('describe', {units}).answer.find(k => k.key === key).usual;
check(usual('battery.temperature.heater_on_below', 'us') === '37.4 degF' && usual('battery.temperature.heater_on_below', 'metric') === '3 degC', 'describe: a usual value in both units');
check(usual('well.cover', 'us') === '10 ft' && usual('well.cover', 'metric') === '3.048 m' && usual('cistern.fill_stop', 'us') === '95 %', 'describe: and one in words as it is');
const removable = engine.call('removable', {keys: ['battery', 'generator', 'load.1', 'absent']}).answer;
check(JSON.stringify(removable) === '["load.1"]', `what the design can do without: ${removable}`);
check(engine.call('save').answer === edited, 'asking takes nothing out');
const held = engine.call('keys').answer.find(k => k.key === 'battery.capacity');
check(held?.value === '"14 kWh"' && held.note === '200 Ah at 51.2 V', 'keys: value and note');
check(engine.call('keys').answer.some(k => k.key === 'pipe.2.length' && k.entry === 'yard pipe, 1-1/4 inch plastic'), 'keys: entries of a list');
check(edited.split('\n').length === readFileSync(join(source, path), 'utf8').split('\n').length, 'all lines stay');
for (const [key, value, word] of [['battery.capacity', '14 gal', 'kWh'], ['battery.capacty', '14 kWh', 'capacity'],
  ['load.nothing.power', '1 W', 'nothing']]) {
  const refused = engine.call('set_key', {key, value});
  check(refused.error?.includes(word), `refused: ${key} = ${value}: ${refused.error}`);
  check(engine.call('save').answer === edited, 'the scenario stays as it was');
}
if (ci) end();

// Weather that has been read stays read, but not for a key that decides how it is read.
const yearOf = () => engine.call('year', {years: 0}).answer;
const anew = () => {
  engine.putFile('scenarios/again.toml', new TextEncoder().encode(engine.call('save').answer));
  engine.call('load_scenario', {path: 'scenarios/again.toml'});
  return yearOf();
};
const printed = year => JSON.stringify({...year, wall_time_s: 0});
let last = yearOf();
for (const [key, value] of [['array.tilt', '20 deg'], ['weather.file', 'weather/saltbush-wells.csv'], ['weather.shift', '-30 min'],
  ['weather.file', 'weather/juniper-bend.csv'], ['battery.capacity', '9 kWh']]) {
  const set = engine.call('set_key', {key, value});
  check(set.answer === true, `set ${key}: ${set.error}`);
  const now = yearOf();
  check(printed(now) !== printed(last), `${key} changes the year`);
  last = anew();
  const what = difference(now, last, 'year');
  check(what === '', `${key} is used as in a file that is read anew, ${what}`);
}
// What was made for one verdict is kept for the next; the answers are those of an engine that has nothing.
engine.call('load_scenario', {path});
const answersOf = of => JSON.stringify([of.call('verdict', {years: 6}), of.call('hours', {year: 'worst', years: 6}).answer?.soc, of.call('verdict', {years: 70, worst: false})]);
async function newEngine() {
  const fresh = await openEngine(create, wasm);
  for (const folder of ['scenarios', 'scenarios/parts', 'scenarios/weather']) putFolder(fresh, folder);
  fresh.putFile('scenarios/weather/juniper-bend.csv', weather);
  fresh.putFile('scenarios/again.toml', new TextEncoder().encode(engine.call('save').answer));
  fresh.call('load_scenario', {path: 'scenarios/again.toml'});
  return fresh;
}
let weather = readFileSync(join(source, 'scenarios/weather/juniper-bend.csv'));
let shown = '';
for (const [key, value] of [['battery.capacity', '4 kWh'], ['array.rated_power', '0.8 kW'], ['weather.seed', '7'], ['weather.file', 'weather/saltbush-wells.csv'],
  ['weather.file', 'weather/juniper-bend.csv'], ['array.tilt', '20 deg'], ['demand.daily', '300 gal/day'], ['', '']]) {
  if (key === '') {  // other bytes under the same name
    weather = readFileSync(join(source, 'scenarios/weather/saltbush-wells.csv'));
    engine.putFile('scenarios/weather/juniper-bend.csv', weather);
  } else {
    check(engine.call('set_key', {key, value}).answer === true, `set ${key}`);
  }
  const now = answersOf(engine);
  check(now !== shown, `${key || 'another file'} changes the verdict`);
  check(now === answersOf(await newEngine()), `${key || 'another file'}: the verdict is that of a new engine, to the byte`);
  shown = now;
}
engine.putFile('scenarios/weather/juniper-bend.csv', readFileSync(join(source, 'scenarios/weather/juniper-bend.csv')));
engine.call('load_scenario', {path: 'scenarios/thorn-gully-options.toml'});
// A long call tells how far it is, forward to its end.
for (const [call, request] of [['compare', {years: 10}], ['report', {years: 10, date: '2031-05-06'}], ['verdict', {years: 30}], ['cloudiness', {shares: [0, 0.1, 0.2]}]]) {
  told = [];
  check(!engine.call(call, request).error, call);
  check(told.length >= (call === 'verdict' ? 1 : 3) && told.every((share, i) => share >= (told[i - 1] ?? 0) && share <= 1 + 1e-12) && told.at(-1) > 0.99, `${call} tells how far it is: ${told.map(s => s.toFixed(2)).join()}`);
}
// The site's cloudy period is that of autonomy, as a share of a clear sky.
const [period] = engine.call('site_periods').answer;
const theirs_period = engine.call('autonomy', {every: 90, years: 0, one_design: true}).answer.site_cloudy_period;
check(period.source === 'made' && period.share > 0.02 && period.share < 0.8 && period.words.includes(`as in made year ${theirs_period.made_year}`), `site_periods: ${JSON.stringify(period)}, ${JSON.stringify(theirs_period)}`);
// Recorded years: the worst seven days of them, too. What was read stays until other bytes come under the name.
const own_rows = readFileSync(join(source, 'scenarios/weather/saltbush-wells.csv'), 'utf8').split('\n');
const recorded = light => [2021, 2022].reduce((text, year) => text + own_rows.filter(row => row.startsWith('2023,')).map(row => {
  const v = row.split(',');
  v[0] = String(year);
  for (const i of [4, 5, 6]) v[i] = (Number(v[i]) * light).toFixed(1);
  return v.join(',') + '\n';
}).join(''), own_rows.filter(row => row && !row.startsWith('2023,')).join('\n') + '\n');
const put = light => engine.putFile('record.csv', new TextEncoder().encode(recorded(light)));
put(1);
const given = engine.call('load_weather', {paths: ['record.csv']});
check(!given.error, `recorded years: ${given.error}`);
const shares = () => engine.call('site_periods').answer.filter(p => p.source === 'recorded').map(p => p.share);
const [bright] = shares();
check(bright > 0.02 && bright < 1, `the worst recorded days: ${bright}`);
put(0.5);
check(Math.abs(shares()[0] / bright - 0.5) < 0.02, `half the light: ${shares()[0]} after ${bright}`);
engine.call('load_weather', {paths: []});
const designs = request => engine.call('autonomy', {every: 90, years: 0, ...request}).answer?.designs.map(d => d.design).join();
check(designs({}) === 'base design,more battery,more array,generator', 'autonomy: every design');
check(designs({one_design: true}) === 'base design', 'autonomy: the base design alone');
check(designs({one_design: true, option: 'generator'}) === 'generator', 'autonomy: one option');
for (const [name, request] of [['year', {days: 4000}], ['nothing', {}], ['load_weather', {paths: ['absent.csv']}], ['year', {days: 'x'}]])
  check(typeof engine.call(name, request).error === 'string', `${name} ${JSON.stringify(request)} is refused in words`);
check(typeof engine.call('year').answer.demand_met_fraction === 'number', 'and the next call works');

end();
