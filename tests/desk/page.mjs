// The page with the engine inside, in Chromium, from a file: as a person uses it. Prints how long it took.
// Usage: node page.mjs BUILD_WITH_BROWSER_PACKAGE PAGE
import {execFileSync} from 'node:child_process';
import {mkdtempSync, readFileSync, rmSync, writeFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {tmpdir} from 'node:os';
import {dirname, join, resolve} from 'node:path';
import {fileURLToPath, pathToFileURL} from 'node:url';

const [build, file] = process.argv.slice(2).map(path => resolve(path));
const source = join(dirname(fileURLToPath(import.meta.url)), '../..');
const {chromium} = createRequire(join(build, 'browser/package.json'))('playwright-core');
const scratch = mkdtempSync(join(tmpdir(), 'holdwater-page-'));
const demo = 'juniper-bend-household.toml';

let passed = 0, failed = 0;
function check(what, holds, seen = '') {
  if (holds) return void ++passed;
  ++failed;
  console.log(`FAILED ${what}${seen === '' ? '' : ` (${seen})`}`);
}

const browser = await chromium.launch({executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox']});
const context = await browser.newContext({viewport: {width: 1280, height: 900}, acceptDownloads: true});
const page = await context.newPage();
page.setDefaultTimeout(120000);
const said = [], requests = [];
page.on('console', message => { if (['error', 'warning'].includes(message.type())) said.push(message.text()); });
page.on('pageerror', error => said.push(error.message));
page.on('request', request => { if (!/^(blob|data|about):/.test(request.url())) requests.push(request.url()); });

async function opened() {
  const began = Date.now();
  await page.goto(pathToFileURL(file).href);
  await page.waitForSelector('body[data-ready]');
  return Date.now() - began;
}
const text = selector => page.textContent(selector);
const figure = label => page.locator('#figures tr', {hasText: label}).locator('td').first().textContent();
const figuresAre = (label, value) => page.waitForFunction(([l, v]) =>
  [...document.querySelectorAll('#figures tbody tr')].some(r => r.cells[0].textContent === l && r.cells[1].textContent === v), [label, value]);
const yearsShown = () => page.waitForFunction(() => /without a shortage|No years/.test(document.getElementById('sentence').textContent));
async function open(station) {
  const summary = page.locator(`details[data-station="${station}"]`);
  if (await summary.getAttribute('open') === null) await summary.locator('summary').click();
}
async function type(key, value) {
  const field = page.locator(`[data-key="${key}"]`);
  await field.fill(value);
  await field.press('Tab');
}
async function saved(button) {
  const [download] = await Promise.all([page.waitForEvent('download'), page.click(button)]);
  return readFileSync(await download.path(), 'utf8');
}

console.log(`start to first answer: ${await opened()} ms`);
check('the first demo is open', (await text('#title')).includes('Household well'));
await yearsShown();
check('the verdict has its interval and its requirement', /^(YES|NO).*90 % interval \d+ to \d+.*required: \d+\.$/.test(await text('#sentence')), await text('#sentence'));
check('the years are shown', /\d+ of 50 made winters/.test(await text('#sentence')), await text('#sentence'));
check('a mark for each winter', [...await page.locator('.marks').first().textContent()].length === 50);
check('checks are shown', await page.locator('#view tbody tr').count() > 10);
const before = await figure('Generator run time');

await open('Battery');
const changed = Date.now();
await type('battery.capacity', '14 kWh');
await page.waitForFunction(was => [...document.querySelectorAll('#figures tbody tr')].some(r =>
  r.cells[0].textContent === 'Generator run time' && r.cells[1].textContent !== was), before);
console.log(`a change to its answer for one year: ${Date.now() - changed} ms`);
check('the key is in the file', /capacity\s*= "14 kWh"\s+# 200 Ah/.test(await saved('#save')));
await type('battery.capacity', '14 gal');
await page.waitForFunction(() => /kWh/.test(document.getElementById('key-battery-capacity-wrong').textContent));
check('a refused value is said at its field', /still 14 kWh/.test(await text('#key-battery-capacity-wrong')), await text('#key-battery-capacity-wrong'));
check('and changes nothing', /capacity\s*= "14 kWh"/.test(await saved('#save')));
await page.click('#undo');
await figuresAre('Generator run time', before);
check('undo brings the file back', await saved('#save') === readFileSync(join(source, 'scenarios', demo), 'utf8'));
await page.click('#redo');
await page.waitForFunction(() => document.querySelector('[data-key="battery.capacity"]')?.value === '14 kWh');

await page.fill('#add [name=key]', 'battery.capacty');
await page.fill('#add [name=value]', '1 kWh');
await page.click('#add button');
await page.waitForFunction(() => document.getElementById('add-wrong').textContent !== '');
check('an unknown key is refused', /capacity/.test(await text('#add-wrong')), await text('#add-wrong'));

await page.selectOption('#units', 'us');
await page.waitForFunction(() => [...document.querySelectorAll('#figures td')].some(c => / gal$/.test(c.textContent)));
check('US units', / gal$/.test(await figure('Generator fuel')));

await opened();
check('the design is kept over a reload', await page.inputValue('[data-key="battery.capacity"]') === '14 kWh');

await page.click('#keep');
await open('Array');
await type('array.rated_power', '0.8 kW');
await page.waitForFunction(() => /was better/.test(document.getElementById('figures').textContent));

await page.click('[data-view=vary]');
await page.selectOption('#view select', 'battery.capacity');
await page.fill('#view [name=steps]', '3');
await page.click('#view form button');
await page.waitForFunction(() => document.querySelectorAll('#view tbody tr').length === 3);
check('a varied key has its table', (await saved('#view p button')).split('\n').length === 5);
check('and the design stays', await page.inputValue('[data-key="battery.capacity"]') === '14 kWh');

// Autonomy, by the page and by the command.
const command = (...given) => JSON.parse(execFileSync(join(build, 'holdwater'), [...given, '--json'], {maxBuffer: 1 << 26}));
const cells = name => page.locator('#view tbody tr', {hasText: name}).locator('td').allTextContents();
await page.selectOption('#demo', `scenarios/${demo}`);
await page.waitForFunction(() => document.getElementById('title').textContent.includes('Household well'));
await page.click('[data-view=autonomy]');
await page.waitForSelector('#view tbody tr');
const expected = command('autonomy', join(source, 'scenarios', demo)).designs;
check('autonomy now and aged are those of the command', (await cells('No sun: water')).join() ===
  expected.map(d => `${d.autonomy_water_worst_d.toFixed(1)} / ${d.autonomy_water_median_d.toFixed(1)} d`).join(), (await cells('No sun: water')).join());
check('and so are the worst days of the file', (await cells('start dates without')).join() ===
  expected.map(d => `${(100 * d.site_period_held).toFixed(0)} %`).join(), (await cells('start dates without')).join());
check('a longer period than was looked at is said', (await cells('worst 7 days: water'))[0].endsWith('/ > 7 d'), (await cells('worst 7 days: water'))[0]);
const usable = (await cells('Usable in the battery'))[0];
await open('Battery');
await type('battery.capacity', '20 kWh');
await page.waitForFunction(was => [...document.querySelectorAll('#view tbody tr')].some(r =>
  r.cells[0].textContent === 'Usable in the battery' && r.cells[1].textContent !== was), usable);
check('a change makes the autonomy again', (await cells('Battery capacity'))[0] === '20.0 kWh', (await cells('Battery capacity'))[0]);

// Options side by side.
await page.click('[data-view=compare]');
check('without options it says how to add them', /no options.*\[\[option\]\]/.test(await text('#view')), await text('#view'));
await page.selectOption('#demo', 'scenarios/thorn-gully-options.toml');
await page.waitForFunction(() => document.getElementById('title').textContent.includes('three ways'));
await page.waitForSelector('#view tbody tr');
const compared = command('compare', join(source, 'scenarios/thorn-gully-options.toml'));
check('every option has a column', (await page.locator('#view thead th').allTextContents()).slice(1).join() === compared.designs.map(d => d.name).join());
check('the first is that of the command', (await text('#view [role=status]')).startsWith(`First: ${compared.first} (`), await text('#view [role=status]'));
check('years, costs and best marks are those of the command', (await cells('Years without')).join() === compared.designs.map(d =>
  `${d.years_without_shortage} of ${d.years.years}${compared.best.years_without_shortage.includes(d.name) ? ' *' : ''}`).join() &&
  (await cells('Life-cycle cost (present value), EUR')).join('|').replaceAll(/[,* ]/g, '') === compared.designs.map(d => d.life_cycle_cost.toFixed(0)).join('|'),
  (await cells('Years without')).join() + (await cells('Life-cycle')).join('|'));
await page.click('[data-view=text]');
await page.fill('#file-text', 'title = "x"\n[battery]\ncapacity = 1 kWh\n');
await page.click('#view p button');
await page.waitForFunction(() => document.querySelector('#view .wrong').textContent !== '');
check('a text that cannot be read is refused with its line', /3/.test(await text('#view .wrong')), await text('#view .wrong'));

await page.click('[data-view=report]');
await page.fill('#view [name="Your firm"]', 'A firm');
await page.click('#view form button');
await page.waitForSelector('iframe:not([hidden])');
const frame = await (await page.$('iframe')).contentFrame();
await frame.waitForSelector('#chart-year svg');
check('the report has its plots', await frame.locator('.chart svg').count() >= 5);
check('the report is saved', /^<!doctype html>[^]*A firm/.test(await saved('#view p button')));

// Files from a disk: a scenario with the weather that it names, then wrong ones.
const named = readFileSync(join(source, 'scenarios', demo), 'utf8').replace('Household well, generator as backup', 'From a disk');
writeFileSync(join(scratch, 'site.toml'), named);
await page.setInputFiles('#open', [join(scratch, 'site.toml'), join(source, 'scenarios/weather/juniper-bend.csv')]);
await page.waitForFunction(() => document.getElementById('title').textContent === 'From a disk');
check('its figures are those of the demo', await figuresAre('Generator run time', before).then(() => true, () => false));
writeFileSync(join(scratch, 'wrong.toml'), '[battery]\ncapacity = "14 gal"\n');
await page.setInputFiles('#open', join(scratch, 'wrong.toml'));
await page.waitForFunction(() => document.getElementById('message').textContent !== '');
check('a wrong file is named', /wrong\.toml/.test(await text('#message')), await text('#message'));
check('and the open design stays', await text('#title') === 'From a disk');
writeFileSync(join(scratch, 'weather.csv'), 'no weather\n');
await page.setInputFiles('#open', join(scratch, 'weather.csv'));
await page.waitForFunction(() => /weather\.csv/.test(document.getElementById('message').textContent));

for (const path of await page.locator('#demo option').evaluateAll(all => all.map(o => o.value).filter(v => v))) {
  await page.selectOption('#demo', path);
  await page.waitForFunction(p => document.body.dataset.open === p, path, {timeout: 60000}).catch(() => {});
  check(`${path} opens`, (await text('#message')) === '' && await page.evaluate(() => document.body.dataset.open) === path && await page.locator('#figures tbody tr').count() > 5, await text('#message'));
}

await page.setViewportSize({width: 360, height: 780});
check('nothing is wider than a phone', await page.evaluate(() => document.documentElement.scrollWidth <= 360),
  await page.evaluate(() => document.documentElement.scrollWidth));
check('no request but for the page itself', requests.every(url => url.startsWith(pathToFileURL(file).href)), requests.find(url => !url.startsWith('file:')));
check('nothing on the console', said.length === 0, said[0]);
if (process.env.PICTURES) {
  await page.screenshot({path: join(process.env.PICTURES, 'phone.png'), fullPage: true});
  await page.setViewportSize({width: 1280, height: 900});
  await page.screenshot({path: join(process.env.PICTURES, 'desktop.png'), fullPage: true});
}
await browser.close();
rmSync(scratch, {recursive: true});
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
