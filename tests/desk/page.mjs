// The page with the engine inside, in Chromium, from a file: as a person uses it.
// Usage: node page.mjs BUILD_WITH_BROWSER_PACKAGE WEB_BUILD [--short]
// --short: three demos and no long views.
import {execFileSync} from 'node:child_process';
import {existsSync, readFileSync, writeFileSync} from 'node:fs';
import {createServer} from 'node:http';
import {join} from 'node:path';
import {pathToFileURL} from 'node:url';
import {startPerson} from './person.mjs';

const short = process.argv.includes('--short');
const person = await startPerson(process.argv[2], process.argv[3]);
const {page, context, file, source, scratch, check, command, text, settled, figure, backup, opened, openDemo, station, type, fieldIs, saved, view, viewReady, pick, accessible} = person;
const demo = 'juniper-bend-household';

// The doors, and the first answer.
await opened();
await accessible('doors');
await openDemo(demo);
check('the demo is open', (await text('#title')).includes('Household well'));
await settled();
check('the verdict has its interval and its requirement', /\d+ of 50 made winters without a shortage (YES|NO).*90 % interval \d+ to \d+; required \d+/.test(await text('#sentence')), await text('#sentence'));
check('a mark for each winter', [...(await text('.marks')).trim()].length === 50);
const theirs = command('simulate', join(source, `scenarios/${demo}.toml`), '--out', join(scratch, 'x.h5'));
check('the generator’s hours are those of the command', (await backup()).startsWith(`${theirs.generator_run_h.toFixed(1)} h`), await backup());
check('eleven lines', await page.locator('.station').count() === 11);
check('units are those that the file is written in', await page.inputValue('#units') === 'us');
await accessible('answer and worst winter');

// A change and its answers.
const before = await backup();
await station('Battery');
await type('battery.capacity', '14');
await fieldIs('battery.capacity', '14 kWh');
check('the key is in the file with its comment', /capacity\s*= "14 kWh"\s+# 200 Ah/.test((await saved('#save')).text));
await type('battery.capacity', '14 gal');
await page.waitForFunction(() => /gal/.test(document.getElementById('key-battery-capacity-wrong').textContent));
check('a refused value is said at its field, and what is still used', /The answer still uses 14 kWh/.test(await text('#key-battery-capacity-wrong')), await text('#key-battery-capacity-wrong'));
check('the line is marked', await page.locator('[data-station="Battery"] .mark.wrong').count() === 1);
check('and nothing changes', /capacity\s*= "14 kWh"/.test((await saved('#save')).text));
await page.press('[data-key="battery.capacity"]', 'Escape');
await page.waitForFunction(() => document.getElementById('key-battery-capacity-wrong').textContent === '');
await page.click('#undo');
await fieldIs('battery.capacity', '10.2 kWh');
await settled();
check('undo brings the file back to the byte', (await saved('#save')).text === readFileSync(join(source, `scenarios/${demo}.toml`), 'utf8'));
check('and its answer', await backup() === before);
await page.click('#redo');
await page.waitForFunction(() => document.querySelector('[data-key="battery.capacity"]').value !== '10.2 kWh');
await type('battery.capacity', '14 kWh');
await fieldIs('battery.capacity', '14 kWh');
await type('battery.usable_fraction', '0,85');
await fieldIs('battery.usable_fraction', '0.85');
await page.press('[data-key="battery.capacity"]', 'ArrowUp');
await page.waitForFunction(() => document.querySelector('[data-key="battery.capacity"]').value === '15 kWh');
await page.locator('[data-station="Battery"] .field', {hasText: 'capacity'}).first().locator('.source select').selectOption('assumed');
await page.waitForSelector('[data-station="Battery"] .source .range');
check('a source is in the file', /\[provenance\]\n"battery\.capacity" = "assumed"/.test((await saved('#save')).text));
await station('Well and pump');
await page.locator('.field:has([data-key="motor.locked_rotor"]) .source select').selectOption('assumed');
await page.waitForFunction(() => /Measure locked rotor: it decides\./.test(document.querySelector('[data-station="Well and pump"] .line').textContent));
check('an assumed value that decides is marked on its line and at its field, without the view', /Measure this: it decides/.test(await text('[data-station="Well and pump"]')));
check('and nothing else is', await page.locator('.line .decides').count() === 1);
await station('Tank or cistern');
await station('Water used');
check('at most two lines are open', await page.locator('.station [aria-expanded=true].line').count() === 2);
await station('Tank or cistern');
await type('tank.cut_in', '42psi');
await page.waitForFunction(() => /cut-?in|precharge|42/.test(document.body.textContent));
await page.selectOption('#units', 'metric');
await page.waitForFunction(() => / bar$/.test(document.querySelector('[data-key="tank.cut_out"]')?.value ?? ''));
check('units follow the switch', await page.inputValue('[data-key="tank.cut_out"]') === '4.137 bar', await page.inputValue('[data-key="tank.cut_out"]'));
check('and the file keeps its own', /cut_out\s*= "60 psi"/.test((await saved('#save')).text));
await page.selectOption('#units', 'us');

// Parts, lists of tables.
await station('Battery');
await page.focus('[data-part=battery]');
await page.waitForFunction(() => document.querySelector('[data-part=battery]').options.length > 3);
await page.selectOption('[data-part=battery]', 'lithium-15');
await page.waitForFunction(() => /lithium-15: .*→/.test(document.querySelector('[data-station="Battery"] .part [role=status]').textContent));
await fieldIs('battery.capacity', '15.36 kWh');
await page.press('[data-key="battery.capacity"]', 'ArrowUp');
check('arrow keys step by the module that was taken', await page.inputValue('[data-key="battery.capacity"]') === '30.72 kWh', await page.inputValue('[data-key="battery.capacity"]'));
await page.press('[data-key="battery.capacity"]', 'ArrowDown');
await station('Other loads');
await page.click('[data-station="Other loads"] button:has-text("Add a load")');
await page.waitForSelector('[data-key="load.4.power"]');
await page.click('[data-table="load.4"] button:has-text("Remove load")');
await page.waitForSelector('[data-key="load.4.power"]', {state: 'detached'});
await page.waitForSelector('[data-table="load.3"] button:has-text("Remove")');
check('what the design needs has no button that removes it', await page.locator('[data-table=battery] button:has-text("Remove")').count() === 0);
await accessible('sheet');

// Reload in the middle of an edit.
await settled();
await page.fill('[data-key="load.1.power"]', '17 W');
await page.waitForFunction(() => /Saved/.test(document.getElementById('saved').textContent));
await page.waitForTimeout(600);
await opened();
await page.waitForFunction(() => document.querySelectorAll('.figure').length === 6);
check('the design is there after a reload, and it says so', /This is the design of \d\d:\d\d/.test(await text('#saved')), await text('#saved'));
const kept = (await saved('#save')).text;
check('with what was typed last', /power = "17 W"/.test(kept) && /capacity\s*= "15.36 kWh"/.test(kept));

// A reload while the letters are still being typed: nothing waits for the page to take them.
async function typedAndReloaded(value) {
  await station('Other loads');
  await page.fill('[data-key="load.1.power"]', value);
  await page.reload();
  await page.waitForSelector('[data-phase=ready]', {state: 'attached'});
  await page.waitForSelector('[data-key="load.1.power"]');
}
await typedAndReloaded('18 gal');
await page.waitForFunction(() => /gal/.test(document.getElementById('key-load-1-power-wrong').textContent));
check('what was being typed stands in its field after a reload, and is refused there', await page.inputValue('[data-key="load.1.power"]') === '18 gal', await page.inputValue('[data-key="load.1.power"]'));
await typedAndReloaded('18 W');
await page.waitForFunction(() => document.getElementById('key-load-1-power-wrong').textContent === '');
check('or it is taken', /power = "18 W"/.test((await saved('#save')).text));

// What is typed into a form stays over a reload, too.
async function reloaded() {
  await page.reload();
  await page.waitForSelector('[data-phase=ready]', {state: 'attached'});
}
await page.click('#doors');
await page.click('#begin');
await page.fill('#question-place', 'Lower farm');
await page.selectOption('#question-pump', '2');
await reloaded();
await page.click('#doors');
await page.click('#begin');
check('answers to the questions stay', await page.inputValue('#question-place') === 'Lower farm' && await page.inputValue('#question-pump') === '2');
await page.fill('#question-place', '');
await page.selectOption('#question-pump', '1');
await page.click('#doors');
await view('vary');
await page.fill('#vary [name=low]', '6.5 kWh');
await reloaded();
await view('vary');
check('so do the ends of a range', await page.inputValue('#vary [name=low]') === '6.5 kWh', await page.inputValue('#vary [name=low]'));
await page.selectOption('#vary select', 'array.rated_power');
await view('text');
await page.fill('#file-text', 'title = "half a text"\n');
await reloaded();
await view('text');
check('and a text that is not used yet', await page.inputValue('#file-text') === 'title = "half a text"\n');
await page.fill('#file-text', kept.replace('17 W', '18 W'));
await view('worst');

// Options.
await settled();
await page.click('#keep');
await station('Array');
await type('array.rated_power', '0.8 kW');
await settled();
check('what changed since the option is one line', /^Since option A: .*h generator/.test(await text('#since')), await text('#since'));

if (!short) {
  await view('options');
  await viewReady();
  check('the kept option stands beside the design', (await page.locator('#view thead th').allTextContents()).slice(1).join() === 'base design,option A');
  await accessible('options');
  await view('worst');
  await viewReady();
  await page.waitForSelector('#view .plot-box svg path', {state: 'attached'});  // a level line has no height
  const points = await page.evaluate(() => Math.max(...[...document.querySelectorAll('#view .plot-box svg path')].map(p => (p.getAttribute('d').match(/L/g) ?? []).length)));
  check('every hour around the worst one is drawn', points >= 144, points);
  await page.focus('#view .plot-box');
  const read = () => text('#view .readout');
  const first = await read();
  await page.keyboard.press('ArrowRight');
  check('arrow keys move the read-out by an hour', await read() !== first && /SOC \d/.test(await read()), await read());
  await page.click('#view summary');
  check('and the hours have a table', await page.locator('#view tbody tr').count() > 100);
  await accessible('worst winter');
  for (const name of ['cloudiness', 'year', 'checks']) {
    await view(name);
    await page.waitForSelector('#view tbody tr');
    check(`${name} has its table`, await page.locator('#view tbody tr').count() > 5);
    if (name === 'cloudiness') {
      await page.waitForFunction(() => [...document.querySelectorAll('#view svg text')].some(t => t.textContent === '1 year in 10'));
      check('the site’s cloudy period is told in words', /^1 year in 10, \d[\d.]* % of a clear sky: the 7 days/.test(await text('#site-periods')), await text('#site-periods'));
    }
    await accessible(name);
  }
  await view('decides');
  await viewReady();
  check('what decides has a bar for each input', await page.locator('.bar').count() >= 3);
  await accessible('what decides');
  // A handle is drawn: its value is shown while it moves, then the range is tried, and "Use this" puts the value into the design.
  const bar = page.locator('.bar', {hasText: 'battery: capacity'}), ends = async () => (await bar.locator('.bar-ends button').allTextContents()).join();
  await bar.evaluate(e => e.scrollIntoView({block: 'end'}));
  const at_first = await ends(), handle = await bar.locator('.handle').last().boundingBox();
  await page.mouse.move(handle.x + 10, handle.y + 10);
  await page.mouse.down();
  await page.mouse.move(handle.x - 40, handle.y + 10, {steps: 4});
  const drawn = await ends();
  check('a handle shows its value while it is drawn', drawn !== at_first && /Use this: [\d.]+ kWh/.test(drawn), `${at_first}; ${drawn}`);
  await page.mouse.up();
  await viewReady();
  await bar.waitFor();
  check('and its end of the range is that value', await ends() === drawn, `${drawn}; ${await ends()}`);
  await bar.locator('.bar-ends button').last().click();
  await station('Battery');
  const taken = /, ?Use this: (.*)$/.exec(drawn)[1];
  await fieldIs('battery.capacity', taken);
  check('which can be put into the design', (await saved('#save')).text.includes(`"${taken}"`));
  await page.click('#undo');
  await fieldIs('battery.capacity', '15.36 kWh');
  await view('sizes');
  await page.click('#run-study');
  await page.waitForFunction(() => /^\d+ of 36$/.test(document.querySelector('#view .progress').textContent));
  await page.click('#view button:has-text("Cancel")');
  check('a study can be cancelled', (await text('#view .progress')) === 'Cancelled.');
  await page.click('#run-study');
  await viewReady();
  await page.focus('#view .plot-box');
  await page.keyboard.press('End');
  await page.keyboard.press('Enter');
  await station('Battery');
  await fieldIs('battery.capacity', '46.08 kWh');
  await accessible('sizes');
  await page.click('#undo');
  await fieldIs('battery.capacity', '15.36 kWh');
  await view('vary');
  await page.selectOption('#vary select', 'battery.capacity');
  await page.fill('#vary [name=steps]', '3');
  await page.click('#vary button');
  await viewReady();
  check('a varied key has its table as CSV', (await saved('#view button:has-text("CSV")')).text.split('\n').length === 5);
  check('and the design stays', await page.inputValue('[data-key="battery.capacity"]') === '15.36 kWh');
  const low = await page.inputValue('#vary [name=low]');
  await page.locator('#vary .handles input').first().focus();
  for (let i = 0; i < 5; ++i) await page.keyboard.press('ArrowRight');
  await viewReady();
  const higher = await page.inputValue('#vary [name=low]');
  check('a handle moves an end, and the table begins there', parseFloat(higher) > parseFloat(low) && (await page.locator('#view tbody th').first().textContent()) === higher, `${low}, ${higher}`);
  await accessible('vary');
  await view('report');
  await page.fill('#report [name=firm]', 'A firm');
  await page.click('#report button');
  await page.waitForFunction(() => [...document.querySelectorAll('#view .progress')].some(s => /^\d+ %$/.test(s.textContent)), null, {polling: 20});
  await page.waitForSelector('iframe');
  const frame = await (await page.$('iframe')).contentFrame();
  await frame.waitForSelector('#chart-year svg');
  check('the report has its plots', await frame.locator('.chart svg').count() >= 5);
  const report = await saved('#save-report');
  check('the report is saved', /^<!doctype html>[^]*A firm/.test(report.text));
  writeFileSync(join(scratch, 'report.html'), report.text);
  const sent = await saved('#send');
  check('the file to send has answer, weather and design, and no link', /winters without a shortage[^]*PV used by month[^]*\[battery\]/.test(sent.text) && !/https?:/.test(sent.text.split('scenario (TOML)')[0]));
  writeFileSync(join(scratch, 'to-send.txt'), sent.text);
  const now = (await saved('#save')).text;
  // The print button opens the dialog of the page, which then prints the report alone; the PDF is made from the same state.
  await page.evaluate(() => { window.print = () => { window.printed = true; }; });
  await page.click('#print-report');
  check('the button opens the print dialog', await page.evaluate(() => window.printed === true));
  const paper = join(scratch, 'report.pdf');
  await page.pdf({path: paper, format: 'A4', preferCSSPageSize: true});
  if (existsSync('/usr/bin/pdftotext')) {
    const words = execFileSync('pdftotext', ['-layout', paper, '-'], {encoding: 'utf8'});
    const alone = await context.newPage();
    await alone.goto(pathToFileURL(join(scratch, 'report.html')).href);
    await alone.waitForSelector('#chart-year svg');
    await alone.pdf({path: join(scratch, 'alone.pdf'), format: 'A4', preferCSSPageSize: true});
    await alone.close();
    const theirs = execFileSync('pdftotext', ['-layout', join(scratch, 'alone.pdf'), '-'], {encoding: 'utf8'});
    check('the report is on paper, with its firm', /For the customer/.test(words) && /A firm/.test(words), words.slice(0, 80));
    check('and neither the sheet nor the answer', !/Site sheet|Does it hold water/.test(words));
    const plain = text => text.replace(/\s+/g, ' ').replace(/file:\S+|\d+\/\d+\/\d+, \d+:\d+ .M/g, '');
    check('word by word as the saved report prints', plain(words) === plain(theirs), `${words.length}, ${theirs.length} letters`);
  } else {
    console.log('SKIPPED the words on paper: no pdftotext');
  }
  check('afterwards the page is as it was', await page.isVisible('#sheet') && await page.locator('#paper').count() === 0);
  await view('checks');
  await page.emulateMedia({media: 'print'});
  check('on paper the sheet is left out', !await page.isVisible('#sheet'));
  await page.emulateMedia({media: 'screen'});
  for (const name of ['report.html', 'to-send.txt']) {
    await pick([join(scratch, name), join(source, 'scenarios/weather/juniper-bend.csv')]);
    await page.waitForFunction(n => document.querySelector('.page').dataset.open === n, name.replace(/\.\w+$/, '.toml'));
    check(`${name} opens as its design`, (await saved('#save')).text.trim() === now.trim());
  }
}

// A long question is dropped after a change, and its engine with it: 10,000 years would take minutes.
await station('Weather');
const usual_years = await page.inputValue('[data-key="weather.made_years"]');
await type('weather.made_years', '10000');
await page.waitForTimeout(1500);
const dropped = Date.now();
await type('weather.made_years', usual_years || '50');
await page.waitForFunction(() => /^\d+ of 50 made winters/.test(document.getElementById('sentence').textContent) && document.querySelector('#sentence .verdict') && document.querySelector('[data-running=false]'), null, {polling: 100});
check('a stale question is dropped', Date.now() - dropped < 15000, `${Date.now() - dropped} ms`);

// Files from a disk: a scenario with the weather that it names, then wrong ones.
const named = readFileSync(join(source, `scenarios/${demo}.toml`), 'utf8').replace('Household well, generator as backup', 'From a disk');
writeFileSync(join(scratch, 'site.toml'), named);
await pick([join(scratch, 'site.toml'), join(source, 'scenarios/weather/juniper-bend.csv')]);
await page.waitForFunction(() => document.getElementById('title').textContent === 'From a disk');
await settled();
check('its figures are those of the demo', await backup() === before, await backup());
writeFileSync(join(scratch, 'saved.toml'), (await saved('#save')).text);
check('what is saved runs in the command to the same result', command('simulate', join(scratch, 'saved.toml'), '--weather', join(source, 'scenarios/weather/juniper-bend.csv'), '--out', join(scratch, 'y.h5')).generator_run_h === theirs.generator_run_h);
writeFileSync(join(scratch, 'wrong.toml'), '[battery]\ncapacity = "14 gal"\n');
await pick(join(scratch, 'wrong.toml'));
await page.waitForFunction(() => /wrong\.toml/.test(document.getElementById('message').textContent));
check('and the open design stays', await text('#title') === 'From a disk');
writeFileSync(join(scratch, 'weather.csv'), 'no weather\n');
await pick(join(scratch, 'weather.csv'));
await page.waitForFunction(() => /weather\.csv/.test(document.getElementById('message').textContent));
check('wrong weather is named, and the design stays', await text('#title') === 'From a disk');
await page.click('#doors');

// The text, and questions.
await page.click('[data-view=text]');
await page.fill('#file-text', 'title = "x"\n[battery]\ncapacity = 1 kWh\n');
await page.click('#use-text');
await page.waitForFunction(() => document.querySelector('#view .wrong').textContent !== '');
check('a text that cannot be read is refused with its line', /3/.test(await text('#view .wrong')), await text('#view .wrong'));
await page.click('[data-view=checks]');
await page.click('#doors');
await page.click('#begin');
await accessible('questions');
check('the focus goes to the questions', await page.evaluate(() => document.activeElement.id) === 'questions-title');
await page.fill('#question-depth', '9000');
await page.click('#questions-go');
await page.waitForFunction(() => /out of range/.test(document.getElementById('question-depth-wrong').textContent));
check('a wrong answer is said at its question, which has the focus', await page.evaluate(() => document.activeElement.id) === 'question-depth');
await page.fill('#question-depth', '150');
await page.fill('#question-place', 'Upper farm');
await page.selectOption('#question-backup', 'generator');
await page.click('#questions-go');
await page.waitForFunction(() => document.getElementById('title').textContent === 'Well at Upper farm');
await settled();
check('and then to the answer', await page.evaluate(() => document.activeElement.id) === 'answer-title');
check('the first design has its verdict', /\d+ of 50 made winters/.test(await text('#sentence')), await text('#sentence'));

const demos = short ? ['saltbush-livestock', 'alder-flat-cistern', 'thorn-gully-options']
  : await page.evaluate(() => 0).then(async () => { await page.click('#doors'); return page.locator('[data-demo]').evaluateAll(all => all.map(b => b.dataset.demo.replace(/^scenarios\/|\.toml$/g, ''))); });
for (const name of demos) {
  await openDemo(name).catch(() => {});
  const run = command('simulate', join(source, `scenarios/${name}.toml`), '--years', '0', '--out', join(scratch, `${name}.h5`));
  await page.waitForFunction(() => document.querySelectorAll('.figure').length === 6 || document.getElementById('message').textContent !== '');
  check(`${name} opens`, (await text('#message')) === '' && await page.locator('.figure').count() === 6, await text('#message'));
  check(`${name}: pump starts are those of the command`, (await figure('pump starts')).startsWith(`${(run.pump_starts / 365).toFixed(1)} a day`), await figure('pump starts'));
}
await settled();

// Every key that a scenario may have has its field: each line opened, an entry added to each list, each table, all behind "more".
if (!short) {
  await openDemo('alder-flat-grid-first');
  await settled();
  const described = [...execFileSync(join(process.argv[2], 'holdwater'), ['guide', 'keys'], {encoding: 'utf8'}).matchAll(/^\| `([\w.]+)` /gm)].map(m => m[1]);
  const fields = new Set();
  for (const name of await page.locator('[data-station]').evaluateAll(all => all.map(s => s.dataset.station))) {
    await station(name);
    const line = page.locator(`[data-station="${name}"]`);
    for (const what of await line.locator('[data-add]').evaluateAll(all => all.map(b => b.dataset.add))) {
      await settled();
      const before = await page.evaluate(() => document.getElementById('view').dataset.version);
      await line.locator(`[data-add="${what}"]`).click();
      await page.waitForFunction(v => document.getElementById('view').dataset.version !== v || document.getElementById('message').textContent !== '', before);
      check(`${name}: an entry of ${what} is added`, await text('#message') === '', await text('#message'));
    }
    await settled();
    for (const button of ['[data-add-table]', '[data-settings] .tools button[aria-expanded=false]', '[data-table] .tools button[aria-expanded=false]'])
      while (await line.locator(button).count() > 0) await line.locator(button).first().click();
    for (const key of await line.locator('[data-key]').evaluateAll(all => all.map(f => f.dataset.key))) fields.add(key.replace(/\.\d+(?=\.)/g, ''));
    for (const table of await line.locator('[data-add-key]').evaluateAll(all => all.map(f => f.dataset.addKey))) fields.add(`${table.replace(/\.\d+$/, '')}.KEY`);
    await station(name);
  }
  // Sources and ranges stand beside the fields of other keys.
  const absent = described.filter(key => !fields.has(key) && !/^(provenance|assumed_range)\.KEY$/.test(key));
  check('every key has its field', described.length > 400 && absent.length === 0, `${described.length} keys, no field: ${absent.join(', ')}`);
  // An option that changes a key, written on the sheet.
  await station('Prices and what is asked');
  await page.fill('[data-add-key="option.1"] [name=key]', 'battery.capacity');
  await page.fill('[data-add-key="option.1"] [name=value]', '20 kWh');
  await page.press('[data-add-key="option.1"] [name=value]', 'Enter');
  await page.waitForFunction(() => /battery: capacity\s*[\d.]+ kWh\s*20 kWh/.test(document.querySelector('[data-settings="option.1"] table').innerText));
  check('a key of an option is in the file', /\[\[option\]\]\nname = "new option"\n"battery\.capacity" = "20 kWh"/.test((await saved('#save')).text));
}

// A phone, by keyboard alone.
await page.setViewportSize({width: 360, height: 780});
check('nothing is wider than a phone', await page.evaluate(() => document.documentElement.scrollWidth <= 360), await page.evaluate(() => document.documentElement.scrollWidth));
check('the answer stays in sight', await page.evaluate(() => { const box = document.getElementById('answer').getBoundingClientRect(); return box.bottom <= innerHeight + 1 && box.height > 60; }));
// What is wider scrolls by itself; nothing else ends beyond the edge.
const cut = () => page.evaluate(() => [...document.querySelectorAll('#app *')].filter(e => {
  const box = e.getBoundingClientRect();
  return box.width > 0 && box.right > innerWidth + 1 && !e.closest('.scroll, svg, .plot-box, iframe, .hidden, .skip');
}).map(e => e.outerHTML.slice(0, 90)));
for (const name of short ? ['worst', 'checks', 'text'] : ['worst', 'cloudiness', 'decides', 'sizes', 'year', 'checks', 'options', 'vary', 'report', 'text']) {
  await view(name);
  if (['worst', 'cloudiness', 'decides', 'year', 'options'].includes(name)) await viewReady();
  const found = await cut();
  check(`${name}: nothing is cut off at 360 px`, found.length === 0, found[0]);
}
for (const name of await page.locator('[data-station]').evaluateAll(all => all.map(s => s.dataset.station))) {
  await station(name);
  await page.waitForSelector(`[data-station="${name}"] fieldset`);
  const found = await cut();
  check(`${name}: nothing is cut off at 360 px`, found.length === 0, found[0]);
}
await page.click('.bar-opener');
check('the whole answer opens', await page.evaluate(() => { const box = document.getElementById('answer').getBoundingClientRect(); return box.top >= 0 && document.querySelectorAll('.figure').length === 6 && box.height > 250; }));
await accessible('phone, the answer opened');
await page.click('.bar-opener');
await view('checks');
await accessible('phone');
await page.selectOption('#theme', 'dark');
for (const name of short ? ['checks'] : ['worst', 'cloudiness', 'decides', 'year', 'options', 'vary', 'report', 'text', 'checks']) {
  await view(name);
  await accessible(`dark, ${name}`);
}
await page.selectOption('#theme', 'light');
await page.setViewportSize({width: 1280, height: 900});
await page.focus('#doors');
const reached = new Set();
for (let i = 0; i < 60; ++i) {
  await page.keyboard.press('Tab');
  reached.add(await page.evaluate(() => document.activeElement.id || document.activeElement.dataset.view || document.activeElement.className));
}
for (const what of ['save', 'units', 'keep', 'line', 'checks']) check(`the keyboard reaches ${what}`, reached.has(what), [...reached].join());
const small = await page.evaluate(() => [...document.querySelectorAll('button, select, input, summary')].filter(e => { const b = e.getBoundingClientRect(); return b.width > 0 && (b.height < 24 || b.width < 24) && e.type !== 'file' && e.type !== 'radio'; }).map(e => e.outerHTML.slice(0, 80)));
check('targets are 24 px', small.length === 0, small[0]);

// The page as a folder on a web server (holdwater desk --site): once it was open there, it opens without the server.
if (!short) {
  const site = join(scratch, 'site'), asked = [];
  execFileSync(join(process.argv[2], 'holdwater'), ['desk', '--site', site], {stdio: 'ignore'});
  const kinds = {html: 'text/html', js: 'text/javascript', svg: 'image/svg+xml', webmanifest: 'application/manifest+json'};
  const server = createServer((request, answer) => {
    const name = request.url === '/' ? 'index.html' : request.url.slice(1);
    asked.push(name);
    answer.writeHead(200, {'content-type': kinds[name.split('.').pop()], connection: 'close'}).end(readFileSync(join(site, name)));
  });
  await new Promise(done => server.listen(0, 'localhost', done));
  const served = await context.newPage();
  served.setDefaultTimeout(60000);
  await served.goto(`http://localhost:${server.address().port}/`);
  await served.waitForSelector('[data-phase=ready]', {state: 'attached'});
  await served.waitForFunction(() => navigator.serviceWorker.controller !== null);
  check('the site asks for its own files alone', asked.every(name => ['index.html', 'service-worker.js', 'manifest.webmanifest', 'icon.svg'].includes(name)), asked.join());
  check('and has a manifest, so that it can be installed', await served.getAttribute('link[rel=manifest]', 'href') === 'manifest.webmanifest');
  await new Promise(done => server.close(done));
  await served.reload();
  await served.waitForSelector('[data-phase=ready]', {state: 'attached'});
  await served.click(`[data-demo="scenarios/${demo}.toml"]`);
  await served.waitForFunction(() => document.querySelectorAll('.figure').length === 6);
  check('without its server the site opens and answers', (await served.textContent('#title')).includes('Household well'));
  await served.close();
}

await person.end();
