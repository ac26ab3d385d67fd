// The page of `holdwater region`: map, search, keyboard, phone, one rule card on paper. Its stations are the shipped weather (made),
// one that nothing can serve, and one with a hostile name.
import {execFileSync} from 'node:child_process';
import {mkdirSync, readFileSync, writeFileSync} from 'node:fs';
import {join} from 'node:path';

import {unreadable} from './readable.mjs';

const evil = '</script><script>window.hacked = 1</script><img src=x onerror=window.hacked=1> & \u{1F4A7} \u05d0\u05d1';

function make_page(build, source, scratch) {
  const folder = join(scratch, 'stations');
  mkdirSync(folder);
  for (const [name, state] of [['juniper-bend', 'Northland'], ['alder-flat', 'Eastland'], ['saltbush-wells', 'Southland'], ['hollerbrook', 'Northland']]) {
    const text = readFileSync(join(source, 'scenarios/weather', name + '.csv'), 'utf8');
    writeFileSync(join(folder, name + '.csv'), text.replace('latitude_deg,', `state,${state}\nlatitude_deg,`));
  }
  const text = readFileSync(join(source, 'scenarios/weather/saltbush-wells.csv'), 'utf8');
  writeFileSync(join(folder, 'hostile.csv'), text.replace(/station,.*/, () => `station,"${evil}"`)
      .replace('longitude_deg,-102.4', 'longitude_deg,-103.1'));
  writeFileSync(join(folder, 'none.csv'), 'this is no weather\n');
  const page = join(scratch, 'region.html');
  execFileSync(join(build, 'holdwater'), ['region', join(source, 'scenarios/juniper-bend-household.toml'), '--stations', folder,
      '--array', '1.6 kW,2.2 kW,4 kW', '--demand', '100 gal/day,225 gal/day', '--years', '4', '--units', 'both', '--out', page]);
  return page;
}

async function look(browser, file, check, [view, width, height]) {
  const where = `region, ${view}`;
  const context = await browser.newContext({viewport: {width, height}, offline: true});
  const page = await context.newPage();
  const said = [], asked = [];
  page.on('console', message => said.push(message.text()));
  page.on('pageerror', error => said.push(error.message));
  page.on('request', request => asked.push(request.url()));
  await page.goto('file://' + file);
  check(where, 'nothing on the console', said.length === 0, said.join('; '));
  check(where, 'no request but the page itself', asked.length === 1 && asked[0].startsWith('file:'), asked.join(' '));
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  check(where, 'nothing sticks out sideways', wide <= width, `${wide} of ${width}`);
  const bad = await page.evaluate(unreadable);
  check(where, 'every text can be read', bad.length === 0, `${bad.length}: ${bad.slice(0, 6).join('; ')}`);
  check(where, 'no script of a text ran', await page.evaluate(() => window.hacked === undefined));
  const map = await page.evaluate(() => {
    const edge = document.querySelector('.map').getBoundingClientRect();
    const inside = box => box.left >= edge.left && box.right <= edge.right + 0.5 && box.top >= edge.top && box.bottom <= edge.bottom + 0.5;
    const texts = [...document.querySelectorAll('.map text')].map(t => t.getBoundingClientRect());
    const dots = [...document.querySelectorAll('.map .dot')].map(d => d.getBoundingClientRect());
    return {dots: dots.length, texts: texts.length, inside: [...texts, ...dots].every(inside), high: Math.min(...texts.map(t => t.height)), mark: Math.min(...dots.map(d => d.width))};
  });
  check(where, 'every station with a place is a mark on the map', map.dots === 5 && map.texts > 4 && map.inside, JSON.stringify(map));
  check(where, 'marks and texts of the map are large enough', map.high > 8 && map.mark > 6, JSON.stringify(map));
  await context.close();
}

async function use(browser, file, check) {
  const page = await browser.newPage({viewport: {width: 1200, height: 900}});
  await page.goto('file://' + file);
  const marks = () => page.evaluate(() => [...document.querySelectorAll('.dot')].map(d => d.querySelector('use').getAttribute('href') + d.getAttribute('aria-label')).join());
  const shown = () => page.evaluate(() => [...document.querySelectorAll('.stations tbody tr')].filter(r => !r.hidden).map(r => r.querySelector('th').textContent));
  const before = await marks();
  check('region', 'one line for each station', (await shown()).length === 6, (await shown()).join());
  await page.selectOption('#combination', {index: 5});
  const largest = await marks();
  check('region', 'another array changes the map', largest !== before, largest);
  await page.selectOption('#share', {index: 2});
  check('region', 'another share changes the words', await page.locator('#share-name').textContent() === '99 % of winters');
  await page.fill('#search', 'juniper bend');
  check('region', 'the search leaves what it finds', (await shown()).join() === 'Juniper Bend (invented place)', (await shown()).join());
  check('region', 'the count is told', (await page.locator('#found').textContent()).startsWith('1 of 6'), await page.locator('#found').textContent());
  check('region', 'other marks are dim', await page.locator('.dot.dim').count() === 4);
  await page.fill('#search', '');
  // By keyboard: from the last choice on to the first mark, and from there to its line.
  await page.locator('#share').focus();
  await page.keyboard.press('Tab');
  const dot = await page.evaluate(() => document.activeElement.getAttribute('aria-label') ?? document.activeElement.outerHTML.slice(0, 80));
  check('region', 'a mark is reached by the keyboard', /kWh|no battery/.test(dot), dot);
  await page.keyboard.press('Enter');
  const row = await page.evaluate(() => document.activeElement.closest('tr')?.textContent ?? '');
  check('region', 'a mark leads to its line', row !== '' && row.startsWith(dot.split(':')[0]), row.slice(0, 80));
  check('region', 'the hostile name is a text', (await shown()).includes(evil), (await shown()).join(' | '));
  const none = await page.evaluate(() => [...document.querySelectorAll('.stations tbody tr')].find(r => r.textContent.includes('none.csv'))?.textContent ?? '');
  check('region', 'a station that cannot be served says why', none.includes('none.csv'), none);
  // One card alone on paper.
  await page.goto('file://' + file + '#card-2');
  await page.emulateMedia({media: 'print'});
  const paper = await page.evaluate(() => ({cards: [...document.querySelectorAll('.card')].filter(c => c.getBoundingClientRect().height > 0).length,
                                            map: document.querySelector('.map').getBoundingClientRect().height,
                                            safety: document.querySelector('.card:target .card-foot').textContent.includes('first quotes')}));
  check('region', 'one card alone on paper', paper.cards === 1 && paper.map === 0 && paper.safety, JSON.stringify(paper));
  await page.close();
}

export async function region(browser, build, source, scratch, check, widths) {
  const file = make_page(build, source, scratch);
  for (const view of widths) await look(browser, file, check, view);
  await use(browser, file, check);
}
