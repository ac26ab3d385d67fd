// The page in Firefox, from a file: opens, shows a demo with the command's figures, takes a change, keeps it over a reload.
// Speaks Marionette, Firefox's own protocol for automation: [length:[0, id, command, parameters]] over TCP.
// Usage: node firefox.mjs BUILD_OF_THE_COMMAND WEB_BUILD
import {execFileSync, spawn} from 'node:child_process';
import {existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync} from 'node:fs';
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
const profile = mkdtempSync(join(tmpdir(), 'holdwater-firefox-'));
writeFileSync(join(profile, 'user.js'), 'user_pref("marionette.port", 0);\nuser_pref("browser.shell.checkDefaultBrowser", false);\nuser_pref("datareporting.policy.dataSubmissionEnabled", false);\nuser_pref("browser.aboutwelcome.enabled", false);\n');
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
try {
  await wait(1000);
  await send('WebDriver:NewSession', {});
  const url = pathToFileURL(join(web, 'holdwater.html')).href;
  const from = Date.now();
  await send('WebDriver:Navigate', {url});
  await until('return document.querySelector("[data-phase=ready]") !== null', 'the page starts');
  await run('document.querySelector("[data-demo$=\'juniper-bend-household.toml\']").click()');
  await until('return document.querySelectorAll(".figure").length === 6', 'the demo opens');
  console.log(`Firefox: start to first answer ${Date.now() - from} ms`);
  await until('return document.querySelector("[data-running=false]") !== null && /50 made winters/.test(document.getElementById("sentence").textContent)', 'the verdict is there');
  const theirs = JSON.parse(execFileSync(join(build, 'holdwater'), ['simulate', join(source, 'scenarios/juniper-bend-household.toml'), '--out', join(profile, 'x.h5'), '--json'], {maxBuffer: 1 << 26, stdio: ['ignore', 'pipe', 'ignore']}));
  const figures = await run('return document.getElementById("figures").textContent');
  check('the generator’s hours are those of the command', figures.includes(`${theirs.generator_run_h.toFixed(1)} h`), figures);
  const held = Object.values(theirs.verdict[theirs.verdict.judged])[0];
  const sentence = await run('return document.getElementById("sentence").textContent');
  check('the winters are those of the command', sentence.startsWith(`${held.held} of ${held.years} `), sentence);
  await run('document.querySelector("[data-station=Battery] button.line").click()');
  await until('return document.querySelector("[data-key=\'battery.capacity\']") !== null', 'the line opens');
  await run('const f = document.querySelector("[data-key=\'battery.capacity\']"); f.focus(); f.value = "14"; f.dispatchEvent(new Event("input", {bubbles: true}));');
  await until('return /14 kWh/.test(document.querySelector("[data-station=Battery] .sum").textContent)', 'a change is taken');
  await until('return document.querySelector("[data-running=false]") !== null', 'and answered');
  await send('WebDriver:Navigate', {url});
  await until('return /14 kWh/.test(document.querySelector("[data-station=Battery] .sum")?.textContent ?? "")', 'the design is kept over a reload');
  await until('return document.querySelector("#view .plot-box svg") !== null', 'the worst winter is plotted');
  check('no message', await run('return document.getElementById("message").textContent') === '');
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
