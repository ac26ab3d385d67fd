// What a person does on the page, in Chromium, from a file: opens, types, presses, saves. Every test of the page uses these.
import {execFileSync} from 'node:child_process';
import {mkdtempSync, readFileSync, rmSync} from 'node:fs';
import {createRequire} from 'node:module';
import {tmpdir} from 'node:os';
import {dirname, join, resolve} from 'node:path';
import {fileURLToPath, pathToFileURL} from 'node:url';

export async function startPerson(build_folder, web_folder) {
  const build = resolve(build_folder), web = resolve(web_folder);
  const file = join(web, 'holdwater.html');
  const source = join(dirname(fileURLToPath(import.meta.url)), '../..');
  const {chromium} = createRequire(join(build, 'browser/package.json'))('playwright-core');
  const axe = readFileSync(join(web, 'tools/desk/page/node_modules/axe-core/axe.min.js'), 'utf8');
  const scratch = mkdtempSync(join(tmpdir(), 'holdwater-page-'));

  let passed = 0, failed = 0;
  function check(what, holds, seen = '') {
    if (holds) return void ++passed;
    ++failed;
    console.log(`FAILED ${what}${seen === '' ? '' : ` (${seen})`}`);
  }

  const browser = await chromium.launch({executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox']});
  const context = await browser.newContext({viewport: {width: 1280, height: 900}, acceptDownloads: true, bypassCSP: false});
  const page = await context.newPage();
  page.setDefaultTimeout(120000);
  const said = [], requests = [];
  page.on('console', message => { if (['error', 'warning'].includes(message.type())) said.push(message.text()); });
  page.on('pageerror', error => said.push(error.message));
  page.on('request', request => { if (!/^(blob|data|about):/.test(request.url())) requests.push(request.url()); });

  const text = selector => page.textContent(selector);
  const settled = async () => {
    await page.waitForTimeout(400);
    await page.waitForSelector('[data-running=false]', {state: 'attached'});
  };
  const figure = async name => (await page.locator('.figure', {hasText: name}).locator('.value').textContent()).trim();
  const busy = () => ![...document.querySelectorAll('#view button')].some(b => b.textContent === 'Cancel') && !/^Working/.test(document.querySelector('#view .progress')?.textContent ?? '');
  return {
    page, context, file, source, scratch, check, text, settled, figure,
    backup: () => figure('backup'),
    async opened() {
      const began = Date.now();
      await page.goto(pathToFileURL(file).href);
      await page.waitForSelector('[data-phase=ready]', {state: 'attached'});
      return Date.now() - began;
    },
    async openDemo(name) {
      if (await page.locator('#doors').count() && await page.getAttribute('#doors', 'aria-expanded') === 'false') await page.click('#doors');
      await page.click(`[data-demo="scenarios/${name}.toml"]`);
      await page.waitForFunction(n => document.querySelector('.page').dataset.open.endsWith(`${n}.toml`) && document.querySelectorAll('.figure').length === 6, name);
    },
    async station(name) {
      const line = page.locator(`[data-station="${name}"] button.line`);
      if (await line.getAttribute('aria-expanded') === 'false') await line.click();
    },
    async type(key, value) {
      const field = page.locator(`[data-key="${key}"]`);
      await field.fill(value);
      await field.press('Enter');
    },
    fieldIs: (key, value) => page.waitForFunction(([k, v]) => document.querySelector(`[data-key="${k}"]`)?.value === v, [key, value]),
    async saved(button) {
      const [download] = await Promise.all([page.waitForEvent('download'), page.click(button)]);
      return {name: download.suggestedFilename(), text: readFileSync(await download.path(), 'utf8')};
    },
    async view(name) {
      await page.click(`[data-view=${name}]`);
      await page.waitForFunction(busy, null, {polling: 100});
      await page.waitForTimeout(50);
    },
    async viewReady() {
      await page.waitForFunction(busy, null, {polling: 100});
      await page.waitForSelector('#view table', {state: 'attached'});
    },
    async pick(files) {
      if (await page.locator('#doors').count() && await page.getAttribute('#doors', 'aria-expanded') === 'false') await page.click('#doors');
      await page.setInputFiles('#open', files);
    },
    /** Files dropped on the page, as from a folder of the desktop. */
    async drop(paths) {
      const list = paths.map(path => ({name: path.slice(path.lastIndexOf('/') + 1), bytes: readFileSync(path).toString('base64')}));
      await page.evaluate(files => {
        const data = new DataTransfer();
        for (const {name, bytes} of files) data.items.add(new File([Uint8Array.from(atob(bytes), c => c.charCodeAt(0))], name));
        document.querySelector('.page').dispatchEvent(new DragEvent('drop', {dataTransfer: data, bubbles: true, cancelable: true}));
      }, list);
    },
    async accessible(what) {
      await page.evaluate(axe);  // by the debugger, so that the page's policy stays as it is
      const found = await page.evaluate(() => window.axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'], resultTypes: ['violations']}));
      check(`${what}: WCAG 2.2 AA`, found.violations.length === 0, found.violations.map(v => `${v.id}: ${v.nodes.slice(0, 2).map(n => n.target.join(' ')).join('; ')}`).join(' | '));
    },
    /** What a command prints with --json. */
    command: (...given) => JSON.parse(execFileSync(join(build, 'holdwater'), [...given, '--json'], {maxBuffer: 1 << 26, stdio: ['ignore', 'pipe', 'ignore']})),
    /** Checks that nothing was sent and nothing said on the console, prints the counts and ends. */
    async end() {
      const own = pathToFileURL(file).href, other = requests.find(url => !url.startsWith(own));
      check('no request but for the page itself', other === undefined, other);
      check('nothing on the console', said.length === 0, said[0]);
      await browser.close();
      rmSync(scratch, {recursive: true});
      console.log(`${passed} passed, ${failed} failed`);
      process.exit(failed === 0 ? 0 : 1);
    },
  };
}
