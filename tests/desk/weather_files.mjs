// Weather files of every kind dropped on the page, in Chromium: the figures are those of the command with the same files. The open
// files are not part of the project (HOLDWATER_SHARED, default ../shared).
// Usage: node weather_files.mjs BUILD_WITH_BROWSER_PACKAGE WEB_BUILD [FOLDER]
import {spawnSync} from 'node:child_process';
import {existsSync, readdirSync, writeFileSync} from 'node:fs';
import {join, resolve} from 'node:path';
import {startPerson} from './person.mjs';

const [build, web] = process.argv.slice(2, 4);
const folder = resolve(process.argv[4] ?? process.env.HOLDWATER_SHARED ?? '../shared', 'weather');
if (!existsSync(folder)) {
  console.log(`SKIPPED the weather files on the page: no ${folder}\n0 passed, 0 failed`);
  process.exit(0);
}
const person = await startPerson(build, web);
const {page, source, scratch, check, command, text, settled, figure, backup, opened, openDemo, station, drop} = person;
const demo = 'juniper-bend-household', scenario = join(source, `scenarios/${demo}.toml`), out = join(scratch, 'x.h5');
const message = () => text('#message');
const files = sub => readdirSync(join(folder, sub)).filter(f => /\.(csv|epw)$/.test(f)).sort().map(f => join(folder, sub, f));
const nameOf = path => path.slice(path.lastIndexOf('/') + 1);
async function says(pattern) {
  await page.waitForFunction(source => new RegExp(source).test(document.getElementById('message').textContent), pattern.source);
  await settled();
}

await opened();
await openDemo(demo);
await settled();
await station('Weather');
const own = await backup();

// One typical year after the other.
for (const path of [...files(''), ...files('years').filter(f => f.endsWith('TY.csv'))]) {
  await drop([path]);
  await page.waitForFunction(name => document.querySelector('[data-station=Weather] .sum').textContent === name, nameOf(path));
  await settled();
  const theirs = command('simulate', scenario, '--weather', path, '--out', out);
  check(`${nameOf(path)}: the generator’s hours are those of the command`, (await backup()).startsWith(theirs.generator_run_h > 0 ? `${theirs.generator_run_h.toLocaleString('en-US', {maximumFractionDigits: theirs.generator_run_h >= 100 ? 0 : theirs.generator_run_h >= 10 ? 1 : 2})} h` : 'none'), `${await backup()}; ${theirs.generator_run_h}`);
  const {held, years} = theirs.verdict[theirs.verdict.judged].made;
  check(`${nameOf(path)}: so are the winters`, (await text('#sentence')).startsWith(`${held} of ${years} made `), await text('#sentence'));
}

// Several years at once, with the typical year that gives their temperature.
const years = files('years'), recorded = years.filter(f => !f.endsWith('TY.csv'));
await drop(years);
await says(/5 weather files are used.*Temperature and wind are from 724915TY\.csv/);
const theirs = command('simulate', scenario, '--weather', ...recorded, '--temperature-file', years.find(f => f.endsWith('TY.csv')), '--out', out);
const {held, years: made} = theirs.verdict[theirs.verdict.judged].made;
check('recorded years: the winters are those of the command', (await text('#sentence')).startsWith(`${held} of ${made} made `), await text('#sentence'));
check('the line says how many', (await text('[data-station=Weather] .sum')) === '5 files');
await page.click('#own-weather');
await page.waitForFunction(() => /\.csv$/.test(document.querySelector('[data-station=Weather] .sum').textContent));
await settled();
check('and back to the weather of the scenario', await backup() === own, await backup());

// What is no hourly weather is refused in the words of the command; everything at once too.
for (const path of files('daily').slice(0, 2)) {
  await drop([path]);
  await says(/not a weather file of a known kind/);
  const refused = spawnSync(join(build, 'holdwater'), ['simulate', scenario, '--weather', path, '--out', out], {encoding: 'utf8'}).stderr;
  check(`${nameOf(path)} is refused as by the command`, refused.includes((await message()).split(': ').slice(1).join(': ').trim()), await message());
}
writeFileSync(join(scratch, 'empty.epw'), '');
await drop([join(scratch, 'empty.epw')]);
await says(/empty\.epw/);
await drop([...files(''), ...years]);
await says(/\.(csv|epw): /);
check('after all of this the design has its own weather', await backup() === own, await backup());
await person.end();
