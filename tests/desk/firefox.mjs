// The page in Firefox, from a file, as a person uses it: every demo with the command's figures, the questions, a change, what is
// refused, undo, a reload, files dropped on it, what it saves, the report on paper.
// Speaks Marionette, Firefox's own protocol for automation: [length:[0, id, command, parameters]] over TCP.
// Usage: node firefox.mjs BUILD_OF_THE_COMMAND WEB_BUILD
import {execFileSync, spawn} from 'node:child_process';
import {existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync} from 'node:fs';
import {connect} from 'node:net';
import {tmpdir} from 'node:os';
import {dirname, join, resolve} from 'node:path';
import {fileURLToPath, pathToFileURL} from 'node:url';

const [build, web] = process.argv.slice(2, 4).map(path => resolve(path));
const source = join(dirname(fileURLToPath(import.meta.url)), '../..');
const firefox = process.env.FIREFOX ?? '/usr/bin/firefox-esr';
if (!existsSync(firefox)) {
  console.log('SKIPPED Firefox: none is installed (tools/prerequisites --web-tests installs it)\n0 passed, 0 failed');
  process.exit(0);
}
let passed = 0, failed = 0;
function check(what, holds, seen = '') {
  if (holds) return void ++passed;
  ++failed;
  console.log(`FAILED ${what}${seen === '' ? '' : ` (${seen})`}`);
}
const profile = mkdtempSync(join(tmpdir(), 'holdwater-firefox-')), downloads = join(profile, 'downloads');
mkdirSync(downloads);
const settings = {'marionette.port': 0, 'browser.shell.checkDefaultBrowser': false, 'datareporting.policy.dataSubmissionEnabled': false, 'browser.aboutwelcome.enabled': false,
  'browser.download.folderList': 2, 'browser.download.dir': downloads, 'browser.helperApps.neverAsk.saveToDisk': 'application/toml,text/html', 'browser.download.alwaysOpenPanel': false};
writeFileSync(join(profile, 'user.js'), Object.entries(settings).map(([name, value]) => `user_pref("${name}", ${JSON.stringify(value)});\n`).join(''));
const browser = spawn(firefox, ['--headless', '--marionette', '--no-remote', '--profile', profile], {stdio: 'ignore', env: {...process.env, HOME: profile}});
const wait = ms => new Promise(done => setTimeout(done, ms));

async function port() {
  for (let i = 0; i < 240; ++i) {
    const file = join(profile, 'MarionetteActivePort');
    if (existsSync(file)) return Number(readFileSync(file, 'utf8'));
    await wait(250);
  }
  throw new Error('Firefox did not start');
}
const socket = connect(await port(), '127.0.0.1');
let buffer = Buffer.alloc(0), next = 0;
const waiting = new Map();
socket.on('data', data => {
  buffer = Buffer.concat([buffer, data]);
  for (;;) {
    const colon = buffer.indexOf(0x3a);
    if (colon < 0) return;
    const end = colon + 1 + Number(buffer.subarray(0, colon));
    if (buffer.length < end) return;
    const message = JSON.parse(buffer.subarray(colon + 1, end));
    buffer = buffer.subarray(end);
    if (Array.isArray(message)) waiting.get(message[1])?.(message);
  }
});
function send(command, parameters = {}) {
  const id = ++next, bytes = Buffer.from(JSON.stringify([0, id, command, parameters]));
  socket.write(`${bytes.length}:`);
  socket.write(bytes);
  return new Promise((done, fail) => waiting.set(id, ([, , error, result]) => error ? fail(new Error(error.message)) : done(result)));
}
const run = async (script, ...args) => (await send('WebDriver:ExecuteScript', {script, args})).value;
async function until(script, what, seconds = 120) {
  for (let i = 0; i < 10 * seconds; ++i) {
      if (await run(script)) return ++passed > 0;
    await wait(100);
  }
  check(what, false, 'never');
  return false;
}

const source_file = path => join(source, 'scenarios', path);
const command = (...words) => JSON.parse(execFileSync(join(build, 'holdwater'), [...words, '--out', join(profile, 'x.h5'), '--json'], {maxBuffer: 1 << 26, stdio: ['ignore', 'pipe', 'ignore']}));
const click = selector => run('document.querySelector(arguments[0]).click()', selector);
const settled = async what => {
  await wait(400);
  await until('return document.querySelector("[data-running=false]") !== null && document.querySelectorAll(".figure").length === 6', what);
};
const doors = async () => {
  if (await run('return document.querySelector("#doors")?.getAttribute("aria-expanded") === "false"')) await click('#doors');
};
const textOf = selector => run('return document.querySelector(arguments[0])?.textContent ?? ""', selector);
const drop = files => run(`const data = new DataTransfer();
  for (const [name, bytes] of arguments[0]) data.items.add(new File([Uint8Array.from(atob(bytes), c => c.charCodeAt(0))], name));
  document.querySelector('.page').dispatchEvent(new DragEvent('drop', {dataTransfer: data, bubbles: true, cancelable: true}));`,
files.map(([name, bytes]) => [name, Buffer.from(bytes).toString('base64')]));
async function type(key, value) {
  await run('const [key, value] = arguments, f = document.querySelector(`[data-key="${key}"]`); f.focus(); f.value = value; f.dispatchEvent(new Event("input", {bubbles: true}));', key, value);
}
const line = async name => {
  if (await run('return document.querySelector(`[data-station="${arguments[0]}"] button.line`).getAttribute("aria-expanded") === "false"', name)) await click(`[data-station="${name}"] button.line`);
};
/** What a button saves, from the folder of downloads. */
async function saved(button) {
  const before = new Set(readdirSync(downloads));
  await click(button);
  for (let i = 0; i < 100; ++i) {
    const file = readdirSync(downloads).find(f => !before.has(f) && !f.endsWith('.part'));
    if (file && statSync(join(downloads, file)).size > 0) return readFileSync(join(downloads, file), 'utf8');
    await wait(100);
  }
  return '';
}

try {
  await wait(1000);
  await send('WebDriver:NewSession', {});
  const url = pathToFileURL(join(web, 'holdwater.html')).href, demo = 'juniper-bend-household.toml';
  const from = Date.now();
  await send('WebDriver:Navigate', {url});
  await until('return document.querySelector("[data-phase=ready]") !== null', 'the page starts');
  await click(`[data-demo$='${demo}']`);
  await until('return document.querySelectorAll(".figure").length === 6', 'the demo opens');
  console.log(`Firefox: start to first answer ${Date.now() - from} ms`);
  await until('return document.querySelector("[data-running=false]") !== null && /50 made winters/.test(document.getElementById("sentence").textContent)', 'the verdict is there');
  const theirs = command('simulate', source_file(demo));
  const figures = await textOf('#figures');
  check('the generator’s hours are those of the command', figures.includes(`${theirs.generator_run_h.toFixed(1)} h`), figures);
  const held = Object.values(theirs.verdict[theirs.verdict.judged])[0];
  const sentence = await textOf('#sentence');
  check('the winters are those of the command', sentence.startsWith(`${held.held} of ${held.years} `), sentence);

  // A change, what is refused, undo, a reload.
  await line('Battery');
  await until('return document.querySelector("[data-key=\'battery.capacity\']") !== null', 'the line opens');
  await type('battery.capacity', '14');
  await until('return /14 kWh/.test(document.querySelector("[data-station=Battery] .sum").textContent)', 'a change is taken');
  await settled('and answered');
  await type('battery.capacity', '14 gal');
  await until('return /gal/.test(document.getElementById("key-battery-capacity-wrong").textContent)', 'a wrong value is refused at its field');
  await type('battery.capacity', '14 kWh');
  await until('return document.getElementById("key-battery-capacity-wrong").textContent === ""', 'and taken back');
  await click('#undo');
  await until('return /10\\.2 kWh/.test(document.querySelector("[data-station=Battery] .sum").textContent)', 'undo');
  await settled('and its answer');
  check('undo brings the file back to the byte', await saved('#save') === readFileSync(source_file(demo), 'utf8'));
  await click('#redo');
  await until('return /14 kWh/.test(document.querySelector("[data-station=Battery] .sum").textContent)', 'redo');
  await settled('and its answer');
  await send('WebDriver:Navigate', {url});
  await until('return /14 kWh/.test(document.querySelector("[data-station=Battery] .sum")?.textContent ?? "")', 'the design is kept over a reload');
  await until('return document.querySelector("#view .plot-box svg") !== null', 'the worst winter is plotted');
  check('no message', await textOf('#message') === '');
  await send('WebDriver:Navigate', {url: 'about:blank'});
  await send('WebDriver:Navigate', {url});
  await until('return /14 kWh/.test(document.querySelector("[data-station=Battery] .sum")?.textContent ?? "")', 'and over another page');

  // The report on paper.
  await click('[data-view=report]');
  await until('return document.querySelector("#report button") !== null', 'the report’s form');
  await run('document.querySelector("#report [name=firm]").value = "A firm"; document.querySelector("#report button").click()');
  await until('return document.querySelector("#view iframe")?.contentDocument?.querySelector("#chart-year svg") != null', 'the report is made, with its plots');
  const report = await saved('#save-report');
  check('the report is saved', /^<!doctype html>[^]*A firm/.test(report));
  if (existsSync('/usr/bin/pdftotext')) {
    writeFileSync(join(profile, 'paper.pdf'), Buffer.from((await send('WebDriver:Print', {})).value, 'base64'));
    const words = execFileSync('pdftotext', ['-layout', join(profile, 'paper.pdf'), '-'], {encoding: 'utf8'}).normalize('NFKC');  // ligatures
    check('the report is on paper, without the sheet', /For the customer/.test(words) && /A firm/.test(words) && !/Site sheet/.test(words), words.slice(0, 80));
  }

  // Files that are dropped: the report, a scenario with its weather, weather of its own, and wrong ones.
  await drop([['saved-report.html', report]]);
  await until('return document.querySelector(".page").dataset.open === "saved-report.toml"', 'the report opens as its design');
  check('with what it was made of', /capacity\s*= "14 kWh"/.test(await saved('#save')));
  const weather = readFileSync(source_file('weather/juniper-bend.csv'));
  await drop([['site.toml', readFileSync(source_file(demo), 'utf8').replace('Household well, generator as backup', 'From a disk')], ['juniper-bend.csv', weather]]);
  await until('return document.getElementById("title").textContent === "From a disk"', 'a scenario from a disk');
  await settled('and its answer');
  check('its figures are those of the demo', (await textOf('#figures')).includes(`${theirs.generator_run_h.toFixed(1)} h`));
  const other = source_file('weather/saltbush-wells.csv'), with_other = command('simulate', source_file(demo), '--weather', other);
  await drop([['saltbush-wells.csv', readFileSync(other)]]);
  await until('return document.querySelector("[data-station=Weather] .sum").textContent === "saltbush-wells.csv"', 'other weather is used');
  await settled('and its answer');
  const winters = with_other.verdict[with_other.verdict.judged].made;
  check('its winters are those of the command', (await textOf('#sentence')).startsWith(`${winters.held} of ${winters.years} `), await textOf('#sentence'));
  await drop([['wrong.toml', '[battery]\ncapacity = "14 gal"\n']]);
  await until('return /wrong\\.toml/.test(document.getElementById("message").textContent)', 'a wrong scenario is named');
  await drop([['weather.csv', 'no weather\n']]);
  await until('return /weather\\.csv/.test(document.getElementById("message").textContent)', 'wrong weather is named');
  check('and the open design stays', await textOf('#title') === 'From a disk');

  // The questions, and every demo.
  await doors();
  await click('#begin');
  await run('document.getElementById("question-depth").value = "150"; document.getElementById("question-place").value = "Upper farm"; document.getElementById("question-backup").value = "generator"; document.getElementById("questions-go").click()');
  await until('return document.getElementById("title").textContent === "Well at Upper farm"', 'the questions make a design');
  await settled('and its answer');
  check('the first design has its verdict', /\d+ of 50 made winters/.test(await textOf('#sentence')), await textOf('#sentence'));
  await doors();
  for (const path of await run('return [...document.querySelectorAll("[data-demo]")].map(b => b.dataset.demo)')) {
    await doors();
    await click(`[data-demo="${path}"]`);
    await until(`return document.querySelector('.page').dataset.open === '${path}' && (document.querySelectorAll('.figure').length === 6 || document.getElementById('message').textContent !== '')`, `${path} opens`);
    const own = command('simulate', join(source, path), '--years', '0'), starts = `${(own.pump_starts / 365).toFixed(1)} a day`;
    check(`${path}: pump starts are those of the command`, (await textOf('#figures')).includes(starts), `${await textOf('#message')} ${await textOf('#figures')}`);
  }
} catch (error) {
  check(`Firefox: ${error.message}`, false);
} finally {
  await send('Marionette:Quit', {flags: ['eForceQuit']}).catch(() => {});
  socket.destroy();
  await wait(500);
  browser.kill();
  await wait(500);
  rmSync(profile, {recursive: true, force: true});
}
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
