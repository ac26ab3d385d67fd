import assert from 'node:assert/strict';
import {readdirSync, readFileSync} from 'node:fs';
import {join} from 'node:path';
import {test} from 'node:test';
import {renderToString} from 'preact-render-to-string';
import * as state from '../state';
import {texts} from '../texts';
import type {VerdictAnswer, Year} from '../types';
import {AddKey} from './AddKey';
import {Answer, worstWords} from './Answer';
import {App} from './App';
import {DataTable} from './DataTable';
import {Doors} from './Doors';
import {Dots} from './Dots';
import {Field} from './Field';
import {Fields} from './Fields';
import {Figure} from './Figure';
import {Footer} from './Footer';
import {Handles, placeOf, valueAt} from './Handles';
import {Header} from './Header';
import {PartPicker} from './PartPicker';
import {Plot} from './Plot';
import {answersOf, Questions, questions, wrongAt} from './Questions';
import {SettingsGroup} from './SettingsTables';
import {Sheet} from './Sheet';
import {Source} from './Source';
import {StationLine} from './StationLine';
import {Views} from './Views';
import {WeatherInUse} from './WeatherInUse';

const set = (held: number) => ({years: 50, held, held_low: 40, held_high: 49, needed: 48, met: held >= 48, close: false, limit_met: true, worst_shortage_hours: 9, hours_short: []});

test('marks tell by their shape, and in words', () => {
  const html = renderToString(<Dots hours={[0, 0, 5, 200]} winters />);
  assert.match(html, /●●.*◐.*✕/);
  assert.match(html, /aria-label="One mark a winter, best first: 2 no shortage, 1 short up to 24 h, 1 over 100 h"/);
});
test('a figure has its definition and its change in words', () => {
  const html = renderToString(<Figure name="cost" help="what it is" value="12" change="worse" />);
  assert.match(html, /role="tooltip">what it is/);
  assert.match(html, /▼ worse/);
});
test('a table can be saved and has its heads', () => {
  const html = renderToString(<DataTable name="t" file="f" head={['a', 'b']} rows={[['1', '2']]} />);
  assert.match(html, /<th scope="col" class="number">b/);
  assert.match(html, /<th scope="row">1/);
  assert.ok(html.includes(texts.save_csv));
});
test('the sentence says so far while years are still run, and never mixes it with the verdict', () => {
  state.verdict.value = {verdict: {judged: 'new', winters: true, new: {made: set(12)}, end_of_life: {}}, source: 'made', years: 12} as VerdictAnswer;
  state.partial.value = true;
  assert.match(renderToString(<Answer />), /12 of 50 winters so far/);
  state.partial.value = false;
  const html = renderToString(<Answer />);
  assert.match(html, /12 of 50 made winters without a shortage/);
  assert.match(html, / NO</);
  assert.ok(!html.includes('so far'));
  state.problem.value = 'wrong';
  assert.match(renderToString(<Answer />), /cannot be run.*wrong/);
  state.problem.value = '';
});
test('the six figures are there once the year is', () => {
  state.year.value = {generator_run_h: 3, generator_fuel_l: 4, grid_kwh: 0, pump_starts: 730, max_starts_per_day: 4, shortage_hours: 0} as Year;
  const html = renderToString(<Answer />);
  assert.equal(html.match(/class="figure"/g)?.length, 6);
  assert.match(html, /2\.0 a day, most 4/);
  state.year.value = {...state.year.value, grid_kwh: 120} as Year;
  assert.match(renderToString(<Answer />), /3 h, 1\.06 gal; 120 kWh grid/);
  assert.equal(worstWords('1 in 10: none short; worst: 31 h (made winter 23, 4 to 6 Jan, the battery was empty)'), '31 h (made winter 23, 4 to 6 Jan, the battery was empty)');
});
test('a refused value is said at its field, with the value that is still used', () => {
  const value = {key: 'battery.capacity', entry: '', value: '"10 kWh"', shown: '10 kWh', note: 'two boxes'};
  const text = {key: 'battery.capacity', kind: 'kWh', unit: 'kWh', usual: 'required', range: '0 to 1000 kWh', choices: [], more: false, help: 'of the whole battery'};
  state.refused.value = {'battery.capacity': {typed: '14 gal', message: '14 gal is no energy'}};
  const html = renderToString(<Field field={{key: 'battery.capacity', text, value}} table="battery" />);
  assert.match(html, /14 gal is no energy The answer still uses 10 kWh\./);
  assert.match(html, /0 to 1,000 kWh; required\. Of the whole battery\. In the file: two boxes/);
  assert.match(html, /source: not stated/);
  assert.match(html, /aria-invalid/);
  state.refused.value = {};
});
test('an input is to be measured where its value is assumed and a verdict turns on it; a size that is chosen is not', () => {
  const key = (name: string, shown: string) => ({key: name, entry: '', value: shown, shown, note: ''});
  const source = () => renderToString(<Source of="well.static_level" label="static level" value="120 ft" />);
  state.deciding.value = ['well.static_level'];
  state.keys.value = [key('provenance."well.static_level"', 'assumed')];
  assert.ok(source().includes(texts.it_decides));
  state.keys.value = [];
  assert.ok(!source().includes(texts.it_decides) && source().includes(texts.turns));
  state.deciding.value = [];
  assert.ok(!source().includes(texts.turns));
});
test('a choice is a list, and a key that the scenario does not have shows its usual value', () => {
  const text = {key: 'backup.kind', kind: 'choice', unit: '', usual: 'none', range: '', choices: ['none', 'grid'], more: false, help: ''};
  assert.match(renderToString(<Field field={{key: 'backup.kind', text, value: null}} table="backup" />), /<select[^]*<option value="grid">grid/);
});
test('weather that stands in is named, with the way back', () => {
  assert.equal(renderToString(<WeatherInUse />), '');
  state.design.value = {path: 'a.toml', text: '', files: {}, weather: ['x/2001.csv', 'x/2002.csv'], temperature: 'x/typical.csv'};
  const html = renderToString(<WeatherInUse />);
  assert.match(html, /2 weather files are used.*Temperature and wind are from typical\.csv.*<li>2001\.csv<\/li>/);
  assert.match(html, /id="own-weather"/);
  state.design.value = null;
});
test('the options of a scenario are a table, their keys behind it', () => {
  state.keys.value = [{key: 'option.1.name', entry: 'more', value: '"more"', shown: 'more', note: ''}, {key: 'option.1."battery.capacity"', entry: 'more', value: '"9 kWh"', shown: '9 kWh', note: ''}];
  const html = renderToString(<SettingsGroup group={{table: 'option.1', entry: 'more', list: 'option', common: [], more: [], used: true}} />);
  assert.match(html, /battery: capacity<\/th><td[^>]*>–<\/td><td[^>]*>9 kWh/);
  assert.ok(html.includes(texts.tables.edit));
  state.keys.value = [];
});
test('a line has its number, name, sum and mark, and says what is to be measured', () => {
  const key = (name: string, shown: string) => ({key: name, entry: '', value: shown, shown, note: ''});
  state.keys.value = [key('battery.capacity', '10 kWh'), key('provenance."battery.capacity"', 'assumed')];
  const line = () => renderToString(<StationLine number={6} />);
  assert.match(line(), /7<\/span>.*Battery.*10 kWh.*mark assumed/);
  assert.ok(!line().includes('it decides'));
  state.deciding.value = ['battery.capacity'];
  assert.match(line(), /Measure capacity: it decides\./);
  assert.ok(!renderToString(<StationLine number={7} />).includes('it decides'));
  state.deciding.value = [];
  state.keys.value = [];
});
test('an open line has its caution before its fields', () => {
  state.openStations.value = [6, 8];
  state.described.value = [{key: 'battery.capacity', kind: 'kWh', unit: 'kWh', usual: 'required', range: '', choices: [], more: false, help: ''}];
  state.keys.value = [{key: 'battery.capacity', entry: '', value: '"10 kWh"', shown: '10 kWh', note: ''}];
  const html = renderToString(<StationLine number={6} />);
  assert.ok(html.indexOf(texts.cautions.battery) > 0 && html.indexOf(texts.cautions.battery) < html.indexOf('data-key="battery.capacity"'));
  const sources = renderToString(<StationLine number={8} />);
  assert.ok(sources.includes(texts.cautions.grid) && sources.includes(texts.cautions.generator));
  state.openStations.value = [];
  state.described.value = [];
  state.keys.value = [];
});
test('the keys of a table that are described as more stand behind a button that counts them', () => {
  const text = (key: string, more: boolean) => ({key, kind: 'W', unit: 'W', usual: 'none', range: '', choices: [], more, help: ''});
  const html = renderToString(<Fields group={{table: 'tank', entry: '', list: '', used: true, common: [{key: 'tank.volume', text: text('tank.volume', false), value: null}],
    more: [{key: 'tank.a', text: text('tank.a', true), value: null}, {key: 'tank.b', text: text('tank.b', true), value: null}]}} />);
  assert.match(html, /data-key="tank\.volume"/);
  assert.ok(!html.includes('data-key="tank.a"'));
  assert.ok(html.includes(texts.more(2)));
});
test('a part is picked from a list of its table', () => assert.match(renderToString(<PartPicker kind="pump" table="pump" />), /pump: from a part.*data-part="pump"/));
test('a plot has its read-out as text, and its label says how to move it', () => {
  const html = renderToString(<Plot label="Days" height={300} option={() => ({})} count={3} start={1} describe={i => [`day ${i}`, 'dry']} zoom />);
  assert.match(html, /role="application"[^>]*aria-label="Days\. Arrow keys/);
  assert.match(html, /class="readout"[^>]*>day 1 · dry/);
  assert.ok(html.includes(texts.zoom_in));
});
test('one view at a time, and the pressed button tells which', () => {
  state.view.value = 'checks';
  const html = renderToString(<Views />);
  assert.equal(html.match(/aria-pressed="true"/g)?.length, 1);
  assert.match(html, /data-view="checks" aria-pressed="true"/);
  assert.ok(html.includes(texts.checks.title));
  state.view.value = 'worst';
});
test('the page has its doors until a design is open, then both halves', () => {
  state.phase.value = 'ready';
  state.door.value = 'doors';
  assert.ok(renderToString(<App version="1" />).includes(texts.doors_title));
  state.design.value = {path: 'a.toml', text: '', files: {}, weather: []};
  state.door.value = 'none';
  const html = renderToString(<App version="1" />);
  assert.ok(!html.includes(texts.doors_title) && html.includes('id="answer"') && html.includes('id="sheet"') && html.includes('id="views"'));
  state.design.value = null;
  state.door.value = 'doors';
});
test('the footer says that nothing is sent, and has the cautions', () => {
  const html = renderToString(<Footer version="1.2" />);
  assert.match(html, /Holdwater 1\.2.*sends nothing/);
  assert.match(html, /transfer switch/);
});
test('what changed since the design was opened, saved or kept is one line', () => {
  const year = {shortage_hours: 0, generator_run_h: 3, generator_fuel_l: 0, grid_kwh: 0, pump_starts: 730, max_starts_per_day: 4} as Year;
  state.design.value = {path: 'a.toml', text: 'new', files: {}, weather: []};
  state.year.value = year;
  const line = () => /id="since">([^<]*)/.exec(renderToString(<Answer />))?.[1];
  const figures = {...state.figures.value!, year: {...year, generator_run_h: 40}};
  state.lastSaved.value = {name: texts.as_opened, text: 'old', figures: null};
  assert.equal(line(), undefined);
  state.lastSaved.value = {name: texts.as_opened, text: 'old', figures};
  assert.equal(line(), 'Since the design was opened: −37 h generator.');
  state.lastSaved.value = {name: texts.as_saved('14:05'), text: 'old', figures: state.figures.value};
  assert.equal(line(), 'Since the file was saved at 14:05: no figure changed.');
  state.lastSaved.value = {name: texts.as_opened, text: 'new', figures};
  assert.equal(line(), undefined);
  state.lastSaved.value = state.design.value = null;
});
test('every component and every view has a test', () => {
  const here = join(process.env.HOLDWATER_SOURCE!, 'tools/desk/page/src');
  for (const folder of ['components', 'views']) {
    const files = readdirSync(join(here, folder));
    const tests = ['components', 'views'].flatMap(f => readdirSync(join(here, f)).filter(name => /\.test\.tsx?$/.test(name)).map(name => readFileSync(join(here, f, name), 'utf8'))).join('\n');
    for (const name of files.filter(f => /\.tsx$/.test(f) && !/\.test\./.test(f)).map(f => f.replace(/\.tsx$/, ''))) assert.match(tests, new RegExp(`from '[./\\w]*/${name}'`), name);
  }
});
test('no component has words of its own: all are in texts.ts', () => {
  const here = join(process.env.HOLDWATER_SOURCE!, 'tools/desk/page/src');
  const own = [/(?<![=-])>\s*[A-Za-z][a-z]+[^<>{}=;()]*</, /(?:title|aria-label|placeholder|aria-roledescription)="[A-Za-z ]+"/, /'[A-Z][a-z]+( [a-z]+)+[^']*'/];
  for (const folder of ['components', 'views'])
    for (const name of readdirSync(join(here, folder)).filter(f => /\.tsx$/.test(f) && !/\.test\./.test(f)))
      for (const line of readFileSync(join(here, folder, name), 'utf8').split('\n').filter(l => !/^\s*(\/\/|\/\*\*)/.test(l)))
        for (const words of own) assert.ok(!words.test(line), `${name}: ${line}`);
});
test('an option takes any described key', () => {
  state.described.value = ['battery.capacity', 'option.KEY', 'title'].map(key => ({key, kind: '', unit: '', usual: '', range: '', choices: [], more: false, help: 'what it is'}));
  const html = renderToString(<AddKey table="option.1" />);
  assert.equal(html.match(/<option /g)?.length, 1);
  assert.match(html, /<option value="battery\.capacity">what it is/);
  state.described.value = [];
});
test('the sheet has eleven lines', () => assert.equal(renderToString(<Sheet />).match(/class="station"/g)?.length, 11));
test('the page begins with three doors', () => {
  state.demos.value = [{path: 'scenarios/a-b.toml', title: 'A well, no backup'}];
  const html = renderToString(<Doors />);
  assert.equal(html.match(/class="door"/g)?.length, 3);
  assert.match(html, /data-demo="scenarios\/a-b\.toml">A well, no backup</);
});
test('two handles tell their values, from a quarter of the middle to four times it', () => {
  const html = renderToString(<Handles middle={10} ends={[5, 20]} names={['from', 'to']} show={v => `${v} kWh`} onMove={() => {}} />);
  assert.match(html, /value="40" aria-label="from" aria-valuetext="5 kWh".*value="120" aria-label="to" aria-valuetext="20 kWh"/);
  // Each step of an arrow key is another place, whatever is rounded.
  for (const middle of [0.87, 1, 10, 15.36, 999]) for (let place = 0; place <= 160; ++place) assert.equal(placeOf(valueAt(place, middle), middle), place);
  assert.equal(placeOf(1000, 10), 160);
});
test('the header says what is saved', () => {
  state.savedWords.value = 'Saved';
  assert.match(renderToString(<Header />), /id="saved"[^>]*>Saved/);
});
test('answers to the questions get their units, and a message finds its question', () => {
  assert.deepEqual(answersOf({depth: '120', switch: '40/60', latitude: '', pump: ''}, 'us'),
    {units: 'us', latitude: '44', longitude: '-100', depth: '120 ft', 'pump-hp': '1', switch: '40/60 psi'});
  assert.equal(answersOf({depth: '36,5'}, 'metric').depth, '36.5 m');
  assert.deepEqual(wrongAt('init: --pump-hp: 9 is not a size'), {name: 'pump', message: '9 is not a size'});
  assert.deepEqual(wrongAt('init: no pump is enough'), {name: '', message: 'no pump is enough'});
  const html = renderToString(<Questions />);
  for (const q of questions) assert.ok(html.includes(`name="${q.name}"`), q.name);
});
