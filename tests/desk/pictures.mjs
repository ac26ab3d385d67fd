// Screenshots of the doors, the questions, the sheet and every view, at 1280 and 390 px, light and dark, to be looked at. They stay out of the
// repository.
// Usage: node pictures.mjs BUILD_WITH_BROWSER_PACKAGE WEB_BUILD FOLDER
import {mkdirSync} from 'node:fs';
import {join} from 'node:path';
import {startPerson} from './person.mjs';

const folder = process.argv[4];
mkdirSync(folder, {recursive: true});
const person = await startPerson(process.argv[2], process.argv[3]);
const {page, settled, opened, openDemo, station, type, fieldIs, view, viewReady} = person;

async function pictures(name, whole = false) {
  for (const [width, height] of [[1280, 900], [390, 800]]) {
    await page.setViewportSize({width, height});
    for (const theme of ['light', 'dark']) {
      await page.selectOption('#theme', theme);
      await page.waitForTimeout(250);
      await page.screenshot({path: join(folder, `${name}-${width}-${theme}.png`), fullPage: whole});
    }
  }
  await page.setViewportSize({width: 1280, height: 900});
  await page.selectOption('#theme', 'light');
}

await opened();
await pictures('doors');
await page.click('#begin');
await pictures('questions');
await page.reload();
await page.waitForSelector('[data-phase=ready]', {state: 'attached'});
await openDemo('juniper-bend-household');
await settled();
await page.click('#keep');
await station('Battery');
await type('battery.capacity', '5 kWh');
await fieldIs('battery.capacity', '5 kWh');
await settled();
await page.waitForTimeout(4000);
for (const name of ['worst', 'cloudiness', 'decides', 'sizes', 'year', 'checks', 'options', 'vary', 'report', 'text']) {
  await view(name);
  if (name === 'sizes') await page.click('#run-study');
  if (name === 'vary') await page.click('#vary button');
  if (name === 'report') {
    await page.click('#report button');
    await page.waitForSelector('iframe');
  }
  if (!['report', 'text'].includes(name)) await viewReady();
  await page.locator('#view').scrollIntoViewIfNeeded();
  await pictures(name);
  await page.setViewportSize({width: 390, height: 800});
  await page.locator('#views').evaluate(e => e.scrollIntoView());
  await page.waitForTimeout(300);
  await page.screenshot({path: join(folder, `${name}-390-view.png`)});
  await page.setViewportSize({width: 1280, height: 900});
}
await view('checks');
await station('Water used');
await pictures('sheet', true);
await person.end();
