// How long the page takes, in Chromium, from a file, with the household demo: start, first answer, changes. Prints one line of JSON.
// Usage: node times.mjs BUILD_WITH_BROWSER_PACKAGE WEB_BUILD
import {pathToFileURL} from 'node:url';
import {startPerson} from './person.mjs';

const person = await startPerson(process.argv[2], process.argv[3]);
const {page, context, file, opened, openDemo, settled, station} = person;
const times = {};

times.start_ms = await opened();
const began = Date.now();
await openDemo('juniper-bend-household');
times.first_answer_ms = times.start_ms + Date.now() - began;
await page.waitForSelector('[data-running=false]', {state: 'attached'});
times.first_verdict_ms = times.start_ms + Date.now() - began;
await settled();

await station('Battery');
// Measured in the page: from Enter to the new figure of the year, to the new verdict, and until nothing is run any more.
const change = value => page.evaluate(typed => new Promise(done => {
  const field = document.querySelector('[data-key="battery.capacity"]'), from = performance.now(), passed = {};
  const value = () => [...document.querySelectorAll('.figure')].find(f => /backup/.test(f.textContent)).querySelector('.value').textContent;
  const was = value(), root = document.querySelector('.page');
  const look = () => {
    if (value() !== was) passed.year ??= performance.now() - from;
    if (passed.year && !document.querySelector('#answer .stale') && document.querySelector('#sentence .verdict')) passed.verdict ??= performance.now() - from;
    if (passed.verdict && root.dataset.running === 'false') {
      observer.disconnect();
      done({...passed, all: performance.now() - from});
    }
  };
  const observer = new MutationObserver(look);
  observer.observe(root, {subtree: true, childList: true, characterData: true, attributes: true});
  field.focus();
  field.value = typed;
  field.dispatchEvent(new KeyboardEvent('keydown', {key: 'Enter', bubbles: true}));
}), value);
await page.waitForSelector('[data-key="battery.capacity"]');
const changes = [];
for (const value of ['11', '12', '13', '15', '14']) changes.push(await change(value));
const median = name => changes.map(c => c[name]).sort((a, b) => a - b)[2];
Object.assign(times, {change_year_ms: median('year'), change_verdict_ms: median('verdict'), change_years_ms: median('all')});

// Once more, with the design that was kept, on a processor four times slower.
const slow = await context.newPage();
const cdp = await context.newCDPSession(slow);
await cdp.send('Emulation.setCPUThrottlingRate', {rate: 4});
const slow_from = Date.now();
await slow.goto(pathToFileURL(file).href);
await slow.waitForFunction(() => document.querySelectorAll('.figure').length === 6, null, {timeout: 120000});
times.slow_first_answer_ms = Date.now() - slow_from;
await slow.close();

console.log(JSON.stringify(times));
await person.end();
