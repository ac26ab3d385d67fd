// What a screen reader gets of the page: roles, names, states, live regions and the order of reading, from the accessibility tree of
// Chromium. How a reader speaks it, no script can tell.
// Usage: node screen_reader.mjs BUILD_WITH_BROWSER_PACKAGE WEB_BUILD
import {writeFileSync} from 'node:fs';
import {join} from 'node:path';
import {startPerson} from './person.mjs';

const person = await startPerson(process.argv[2], process.argv[3]);
const {page, context, scratch, check, pick, settled, opened, openDemo, station, type, fieldIs, view, viewReady} = person;
const cdp = await context.newCDPSession(page);

// The nodes that are not ignored, in the order of reading.
async function tree() {
  const {nodes} = await cdp.send('Accessibility.getFullAXTree');
  const of = new Map(nodes.map(n => [n.nodeId, n])), list = [];
  const visit = (node, within) => {
    if (!node.ignored) {
      const states = Object.fromEntries((node.properties ?? []).map(p => [p.name, p.value.value]));
      list.push({role: node.role?.value ?? '', name: (node.name?.value ?? '').trim(), about: (node.description?.value ?? '').trim(), ...states, within});
    }
    for (const id of node.childIds ?? []) if (of.has(id)) visit(of.get(id), node.ignored ? within : [...within, node.role?.value]);
  };
  visit(nodes.find(n => !n.parentId), []);
  return list;
}
const one = (list, role, name) => list.find(n => n.role === role && (name instanceof RegExp ? name.test(n.name) : n.name === name));
const controls = ['button', 'textbox', 'combobox', 'checkbox', 'radio', 'link', 'spinbutton', 'DisclosureTriangle', 'application', 'slider'];

function wellFormed(list, where) {
  const unnamed = list.filter(n => controls.includes(n.role) && n.name === '');
  check(`${where}: every control has a name`, unnamed.length === 0, unnamed.map(n => n.role).join());
  const levels = list.filter(n => n.role === 'heading').map(n => n.level);
  check(`${where}: one heading of the page`, levels.filter(l => l === 1).length === 1, levels.join());
  check(`${where}: no level of headings is left out`, levels.every((l, i) => i === 0 ? l === 1 : l <= levels[i - 1] + 1), levels.join());
  for (const role of ['banner', 'contentinfo']) check(`${where}: one ${role}`, list.filter(n => n.role === role).length === 1);
  const picture = list.find(n => ['image', 'img'].includes(n.role) && n.name === '');
  check(`${where}: what is drawn has words`, picture === undefined);
}
const at = (list, role, name) => list.indexOf(one(list, role, name));

await opened();
let list = await tree();
wellFormed(list, 'doors');
check('the three doors are headings', ['Answer a few questions', 'Open files', 'Look at a demo'].every(name => one(list, 'heading', name)));

await openDemo('juniper-bend-household');
await settled();
await viewReady();
list = await tree();
wellFormed(list, 'the design');
const order = [['link', 'Go to the answer'], ['link', 'Go to the site sheet'], ['heading', 'Household well, generator as backup'], ['button', 'Undo'], ['heading', 'Does it hold water?'],
  ['navigation', 'Views'], ['heading', 'What happens in the worst winter?'], ['heading', 'Site sheet'], ['button', /^1 Water used/], ['button', /^11 Prices/], ['contentinfo', /^/]];
const places = order.map(([role, name]) => at(list, role, name));
check('read in this order: what is open, the answer, a view, the sheet, the cautions', places.every((p, i) => p >= 0 && (i === 0 || p > places[i - 1])), places.join());
check('answer, views and sheet are regions with names', ['Does it hold water?', 'Views', 'Site sheet'].every(name => one(list, 'region', name)?.within.includes('main')));
check('the marks are told in words', list.some(n => ['image', 'img'].includes(n.role) && /^One mark a winter, best first: \d+ /.test(n.name)));
const figures = list.filter(n => n.role === 'group' && /^(without sun|worst shortage|motor start|backup|pump starts|life-cycle cost): /.test(n.name));
check('each figure is read with its value', figures.length === 6, figures.map(n => n.name).join());
check('and with its definition', figures.every(n => n.about.length > 30), figures.map(n => n.about.length).join());
const lines = list.filter(n => n.role === 'button' && /^\d+ /.test(n.name) && 'expanded' in n);
check('a line of the sheet is a button with its figure, its mark in words, and whether it is open',
  lines.length === 11 && lines.every(n => n.expanded === false && /(no check fails|a check fails|assumed or not known|is refused)$/.test(n.name)), lines.map(n => n.name).join());
check('the view that is shown is told', list.filter(n => n.role === 'button' && n.pressed === 'true').map(n => n.name).join() === 'Worst winter');
const plot = one(list, 'application', /^Worst winter/);
check('the plot says what it is and its keys', plot?.roledescription === 'plot' && /Arrow keys/.test(plot.name), plot?.name);

// What is spoken without being asked for: the tree of these nodes has `live`.
const live = list.filter(n => ['status', 'alert'].includes(n.role) || ['polite', 'assertive'].includes(n.live));
check('the answer, the time of saving and the view speak when there is time', live.filter(n => n.live === 'polite').length >= 3, live.map(n => `${n.role} ${n.live}`).join());

const spoken = () => page.evaluate(() => new Promise(done => {
  const said = [];
  new MutationObserver(changes => changes.forEach(c => {
    const region = (c.target.nodeType === 1 ? c.target : c.target.parentElement)?.closest('[role=status], [role=alert], [aria-live]');
    if (region && region.textContent.trim() !== '') said.push(region.textContent.trim());
  })).observe(document.body, {subtree: true, childList: true, characterData: true});
  window.endSpoken = () => done(said.filter((t, i) => t !== said[i - 1]));
}));
let hearing = spoken();
await station('Battery');
await type('battery.capacity', '4 kWh');
await fieldIs('battery.capacity', '4 kWh');
await settled();
await page.evaluate(() => window.endSpoken());
let heard = await hearing;
check('a change speaks the new verdict once, with what it changed', heard.filter(t => /^\d+ of 50 made winters without a shortage: (YES|NO).* This change: .*h generator/.test(t)).length === 1, heard.join(' | '));
check('and at most once how far the years are', heard.filter(t => /so far/.test(t)).length <= 1, heard.join(' | '));
check('and that it is kept', heard.some(t => t.startsWith('Saved in this browser')), heard.join(' | '));
const words = heard.join(' ').split(/\s+/).length;
check('and little else', words < 90, `${words} words: ${heard.join(' | ')}`);

await type('battery.capacity', '14 gal');
await page.waitForFunction(() => document.getElementById('key-battery-capacity-wrong').textContent !== '');
list = await tree();
const field = one(list, 'textbox', 'capacity');
check('a refused value is invalid for the reader, and its description says why', field?.invalid === 'true' && /gal/.test(field.about) && /still uses 4 kWh/.test(field.about), JSON.stringify(field));
check('and it is an alert', list.some(n => n.role === 'alert') && await page.locator('#key-battery-capacity-wrong[role=alert]').count() === 1);
check('its line says so too', one(list, 'button', /^7 Battery .*a value is refused$/)?.expanded === true);
check('the source is a choice with the name of its value', one(list, 'combobox', 'Source of capacity') !== undefined);
const caution = list.findIndex(n => /terminals of a battery stay live/.test(n.name)), first_field = at(list, 'textbox', 'capacity');
check('the caution comes before the fields', caution >= 0 && caution < first_field, `${caution}, ${first_field}`);
await page.press('[data-key="battery.capacity"]', 'Escape');
await page.click('#undo');
await settled();
await page.waitForTimeout(900);  // the view is run again
await viewReady();

hearing = spoken();
await page.focus('#view .plot-box');
for (let i = 0; i < 3; ++i) await page.keyboard.press('ArrowRight');
await page.waitForTimeout(300);
await page.evaluate(() => window.endSpoken());
heard = await hearing;
check('arrow keys in a plot speak each hour', heard.length === 3 && heard.every(t => /^\d+ \w+ \d\d:\d\d · SOC /.test(t)), heard.join(' | '));

// A study that the person began: its begin and its end, and none of its steps.
await view('sizes');
hearing = spoken();
await page.click('#run-study');
await viewReady();
await page.evaluate(() => window.endSpoken());
heard = await hearing;
check('a study speaks when it runs and when it is ready, and no step of it', heard.join() === 'Working …,Ready.', heard.join(' | '));

// A file that cannot be used: said at once.
writeFileSync(join(scratch, 'wrong.toml'), '[battery]\ncapacity = "14 gal"\n');
await page.click('#doors');
hearing = spoken();
await pick(join(scratch, 'wrong.toml'));
await page.waitForFunction(() => document.getElementById('message').textContent !== '');
await page.evaluate(() => window.endSpoken());
heard = await hearing;
check('a wrong file is spoken, with its name and line', heard.some(t => /wrong\.toml/.test(t)), heard.join(' | '));
list = await tree();
const alert = list.find(n => n.role === 'alert');
check('as an alert, which is spoken at once', alert?.live === 'assertive', JSON.stringify(alert));
await page.click('#doors');

for (const name of ['checks', 'cloudiness', 'decides', 'year', 'options', 'sizes', 'vary', 'report', 'text']) {
  await view(name);
  if (['cloudiness', 'decides', 'year'].includes(name)) await viewReady();
  list = await tree();
  wellFormed(list, name);
  const heads = list.filter(n => ['columnheader', 'rowheader'].includes(n.role)), empty = heads.filter(n => n.name === '');
  check(`${name}: every head of a table has words`, empty.length === 0, `${empty.length} of ${heads.length}`);
}
await person.end();
