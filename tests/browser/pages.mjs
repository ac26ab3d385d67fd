// What a customer's browser makes of the page of every demo. Usage: node pages.mjs BUILD_FOLDER
import {execFile, execFileSync} from 'node:child_process';
import {existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {tmpdir} from 'node:os';
import {dirname, join} from 'node:path';
import {fileURLToPath} from 'node:url';
import {promisify} from 'node:util';

import {plant_unreadable, unreadable} from './readable.mjs';
import {region} from './region.mjs';

const build = process.argv[2];
const source = join(dirname(fileURLToPath(import.meta.url)), '../..');
const {chromium} = createRequire(join(build, 'browser/package.json'))('playwright-core');
const scratch = mkdtempSync(join(tmpdir(), 'holdwater-pages-'));
const report = (scenario, out, ...more) =>
    promisify(execFile)(join(build, 'holdwater'), ['report', scenario, '--out', out, '--date', '2031-05-06', ...more]);

let passed = 0, failed = 0;
function check(where, what, holds, seen = '') {
  if (holds) return void ++passed;
  ++failed;
  console.log(`FAILED ${where}: ${what}${seen === '' ? '' : ` (${seen})`}`);
}

const plots = ['cloudy_period', 'survival', 'tornado', 'map', 'year', 'energy', 'water', 'duration'];
const widths = [['desktop', 1200, 900], ['phone', 390, 844]];
const evil = '</script><script>window.hacked = 1</script><img src=x onerror="window.hacked=1"> "q" \'a\' & \u{1F4A7} \u202e\u05d0\u05d1';

function hostile_scenario() {
  symlinkSync(join(source, 'scenarios/weather'), join(scratch, 'weather'));
  const toml = JSON.stringify(evil);
  let text = readFileSync(join(source, 'scenarios/juniper-bend-household.toml'), 'utf8');
  const put = (from, to) => {
    if (!text.includes(from)) throw new Error('the demo no longer has ' + from);
    text = text.replace(from, () => to);
  };
  put('"Household well, generator as backup"', toml);
  put('"Juniper Bend (invented), high valley, cold winters"', JSON.stringify('long '.repeat(1000) + 'x'.repeat(5000)));
  put('"modem and radio link"', JSON.stringify('y'.repeat(10000)));
  text += `\n[[waiver]]\ncheck = "array-to-load"\nreason = ${toml}\n[[option]]\nname = ${toml}\n"battery.capacity" = "14 kWh"\n` +
      `[[option]]\nname = "${'z'.repeat(10000)}"\n"battery.capacity" = "18 kWh"\n`;
  writeFileSync(join(scratch, 'hostile.toml'), text);
  return join(scratch, 'hostile.toml');
}

// Height of the first point of each SOC line of the cloudy period, read off its axis, against the chart's JSON.
function soc_at_the_beginning() {
  const told = JSON.parse(document.getElementById('charts').textContent).cloudy_period.soc_begin;
  const svg = document.querySelector('#chart-cloudy_period svg');
  const texts = [...svg.querySelectorAll('text')];
  const middle = text => { const box = texts.find(t => t.textContent === text).getBoundingClientRect(); return (box.top + box.bottom) / 2; };
  const zero = middle('0'), full = middle('100');
  const color = getComputedStyle(document.documentElement).getPropertyValue('--battery').trim();
  const long = [...svg.querySelectorAll('path')].filter(p => p.getTotalLength() > 100 && p.getAttribute('fill') === 'none');
  const lines = long.filter(p => p.getAttribute('stroke') === color || (p.getAttribute('stroke-dasharray') && p.getBBox().height > 4));
  const drawn = lines.map(p => {
    const at = p.getPointAtLength(0).matrixTransform(p.getScreenCTM());
    return 100 * (zero - at.y) / (zero - full);
  });
  return {told, drawn: drawn[0], lines: drawn.length, same: drawn.every(v => Math.abs(v - told) < 1.5)};
}

async function look(browser, name, file, [view, width, height]) {
  const where = `${name}, ${view}`;
  const context = await browser.newContext({viewport: {width, height}, offline: true});
  const page = await context.newPage();
  const said = [], asked = [];
  page.on('console', message => said.push(message.text()));
  page.on('pageerror', error => said.push(error.message));
  page.on('dialog', dialog => { said.push('dialog'); dialog.dismiss(); });
  page.on('request', request => asked.push(request.url()));
  await page.goto('file://' + file);

  check(where, 'nothing on the console', said.length === 0, said.join('; '));
  check(where, 'no request but the page itself', asked.length === 1 && asked[0].startsWith('file:'), asked.join(' '));
  const drawn = await page.evaluate(ids => ids.map(id => {
    const box = document.getElementById('chart-' + id), svg = box && box.querySelector('svg');
    const marks = svg ? svg.querySelectorAll('path, rect, polyline, line').length : 0;
    const texts = svg ? [...svg.querySelectorAll('text')].map(t => t.textContent.trim()).filter(Boolean).length : 0;
    const inside = svg && svg.clientWidth <= box.clientWidth + 1 && svg.clientHeight <= box.clientHeight + 1;
    return {id, marks, texts, inside, alt: box ? box.getAttribute('aria-label') : '', rows: document.querySelectorAll(`#figure-${id} tbody tr`).length};
  }), plots);
  for (const d of drawn) {
    check(where, `${d.id} is drawn`, d.marks > 5 && d.texts > 3 && d.inside, JSON.stringify(d));
    check(where, `${d.id} has words and a table`, d.alt.length > 20 && d.rows > 5, JSON.stringify(d));
  }
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  check(where, 'nothing sticks out sideways', wide <= width, `${wide} of ${width}`);
  const bad = await page.evaluate(unreadable);
  check(where, 'every text can be read', bad.length === 0, `${bad.length}: ${bad.slice(0, 6).join('; ')}`);
  const begins = await page.evaluate(soc_at_the_beginning);
  check(where, 'the SOC begins where the figures say', begins.lines > 0 && Math.abs(begins.drawn - begins.told) < 1.5 && begins.same, JSON.stringify(begins));
  check(where, 'no script of a text ran', await page.evaluate(() => window.hacked === undefined));

  if (name === 'hostile') {
    check(where, 'the title is the text', await page.evaluate(() => document.querySelector('h1').textContent) === evil);
    check(where, 'the option is the text', await page.evaluate(text => [...document.querySelectorAll('.options th bdi')].some(e => e.textContent === text), evil));
    check(where, 'ten thousand letters are there', await page.evaluate(() => document.body.textContent.includes('y'.repeat(10000))));
  }
  await page.close();
  await context.close();
}

// Processor time of the page's thread from its first byte to the last plot, so that a busy machine does not count.
async function time_to_draw(browser, name, file) {
  const page = await browser.newPage({viewport: {width: 1200, height: 900}});
  const session = await page.context().newCDPSession(page);
  await session.send('Performance.enable', {timeDomain: 'threadTicks'});
  await page.goto('file://' + file);
  const {metrics} = await session.send('Performance.getMetrics');
  const ms = 1e3 * metrics.find(m => m.name === 'TaskDuration').value;
  check(name, 'drawn in less than a second', ms > 0 && ms < 1000, `${ms.toFixed(0)} ms`);
  await page.close();
  return ms;
}

// The finder of unreadable text, on a page where there is some.
async function finder_finds(browser, name, file) {
  const page = await browser.newPage({viewport: {width: 390, height: 844}});
  await page.goto('file://' + file);
  const before = (await page.evaluate(unreadable)).length;
  await page.evaluate(plant_unreadable);
  const bad = await page.evaluate(unreadable);
  check(name, 'a text over another is found', bad.some(b => b.includes('planted text') && b.includes('over')), bad.join('; '));
  check(name, 'a text off the page is found', bad.some(b => b.includes('at the edge') && b.includes('cut off')), bad.join('; '));
  check(name, 'two texts more than before', bad.length > before, bad.length);
  await page.close();
}

async function use(browser, name, file) {
  const page = await browser.newPage({viewport: {width: 1200, height: 900}});
  await page.goto('file://' + file);
  const chart = page.locator('#chart-cloudy_period');
  const labels = () => page.evaluate(() => [...document.querySelectorAll('#chart-cloudy_period svg text')].map(t => t.textContent).join(' '));
  const shows = () => chart.getAttribute('data-shows');
  await chart.scrollIntoViewIfNeeded();

  const before = await labels();
  await page.getByRole('button', {name: 'Zoom in'}).click();
  await page.getByRole('button', {name: 'Zoom in'}).click();
  check(name, 'the button zooms', await shows() === '37.5 to 62.5 %' && await labels() !== before, await shows());
  await page.getByRole('button', {name: 'Later'}).click();
  check(name, 'the button moves on', await shows() === '50.0 to 75.0 %', await shows());
  await page.getByRole('button', {name: 'Whole run'}).click();
  check(name, 'the button goes back', await shows() === '0.0 to 100.0 %' && await labels() === before, await shows());

  const box = await chart.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + 100);
  await page.waitForTimeout(200);
  const tip = await page.evaluate(() => [...document.querySelectorAll('#chart-cloudy_period .tip')].filter(e => e.style.visibility !== 'hidden' && e.style.opacity !== '0').map(e => e.innerText).join());
  check(name, 'hovering tells the hour', /\d:00 to \d/.test(tip) && tip.includes('battery SOC') && tip.includes('fed by'), tip);
  await page.keyboard.down('Control');
  await page.mouse.wheel(0, -300);
  await page.keyboard.up('Control');
  await page.waitForTimeout(300);
  check(name, 'control and wheel zoom', await shows() !== '0.0 to 100.0 %', await shows());

  for (const id of plots) {
    await page.locator('#chart-' + id).focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    const aloud = await page.locator('#live-' + id).textContent();
    check(name, `${id} answers to the keyboard`, aloud.length > 8, aloud);
  }
  await page.close();
}

// On paper: every plot whole on one sheet, in the order of the page.
async function print(browser, name, file, format, sheet_px) {
  const where = `${name}, ${format}`;
  const page = await browser.newPage({viewport: {width: 1200, height: 900}});
  await page.goto('file://' + file);
  const pdf = join(scratch, `${name}-${format}.pdf`);
  await page.pdf({path: pdf, format, preferCSSPageSize: true});
  // The same layout on the screen, to measure: paper's width less the margins.
  await page.emulateMedia({media: 'print'});
  await page.setViewportSize({width: 690, height: 1000});
  await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  const figures = await page.evaluate(() => [...document.querySelectorAll('figure')].map(f => {
    const figure = f.getBoundingClientRect(), svg = f.querySelector('.chart svg').getBoundingClientRect();
    return {id: f.id, high: figure.height, svg: svg.height, whole: svg.top >= figure.top && svg.bottom <= figure.bottom + 1 && svg.right <= innerWidth + 1,
            breaks: getComputedStyle(f).breakInside};
  }));
  for (const f of figures) check(where, `${f.id} is whole`, f.whole && f.svg > 150 && f.high < sheet_px && f.breaks === 'avoid', JSON.stringify(f));
  const all_headings = await page.evaluate(() => [...document.querySelectorAll('h2, h3')].map(h => h.textContent.trim()));
  await page.close();
  if (!existsSync('/usr/bin/pdftotext')) return void console.log(`SKIPPED ${where}: no pdftotext, the PDF's words are not read`);
  const text = execFileSync('pdftotext', ['-layout', pdf, '-'], {encoding: 'utf8'});
  const sheets = text.split('\f');
  check(where, 'a handful of sheets', sheets.length > 4 && sheets.length < 20, sheets.length);
  const annex = sheets.findIndex(s => s.includes('Annex for the file'));
  check(where, 'the customer gets two sheets', annex === 2, annex);
  for (const sheet of sheets) {
    const last = sheet.trim().split('\n').pop().trim();
    check(where, 'no heading alone at the foot of a sheet', last === '' || !all_headings.includes(last), last);
  }
  // First and last words of a plot stand on one sheet.
  for (const [from, to] of [['What changes the days to the first shortage', 'static water level'], ['Other sizes of array and battery', 'array, kW'], ['State of charge over the year', '% of the year']]) {
    check(where, `"${from}" ends on its sheet`, sheets.some(s => s.includes(from) && s.includes(to)));
  }
}

const demos = readdirSync(join(source, 'scenarios')).filter(f => f.endsWith('.toml')).map(f => f.slice(0, -5));
const pages = new Map(demos.map(name => [name, join(source, 'scenarios', name + '.toml')]));
pages.set('hostile', hostile_scenario());
const began = Date.now();
const waiting = [...pages];
async function make() {
  for (let next = waiting.shift(); next; next = waiting.shift()) await report(next[1], join(scratch, next[0] + '.html'), '--units', 'both');
}
await Promise.all([make(), make()]);
console.log(`${pages.size} pages made in ${((Date.now() - began) / 1000).toFixed(0)} s`);

const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
         '--disable-component-update', '--disable-sync'],
});
try {
  let slowest = 0;
  for (const name of pages.keys()) {
    const file = join(scratch, name + '.html');
    const size = readFileSync(file).length;
    check(name, 'under 2.5 MB', size < 2.5e6, size);
    for (const view of widths) await look(browser, name, file, view);
    slowest = Math.max(slowest, await time_to_draw(browser, name, file));
  }
  console.log(`slowest page read, laid out and drawn in ${slowest.toFixed(0)} ms of processor time`);
  for (const name of ['juniper-bend-household', 'thorn-gully-options']) {
    await finder_finds(browser, name, join(scratch, name + '.html'));
    await use(browser, name, join(scratch, name + '.html'));
    await print(browser, name, join(scratch, name + '.html'), 'A4', 1016);
    await print(browser, name, join(scratch, name + '.html'), 'Letter', 950);
  }
  await region(browser, build, source, scratch, check, widths);
} finally {
  await browser.close();
  rmSync(scratch, {recursive: true, force: true});
}
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 && passed > 0 ? 0 : 1);
