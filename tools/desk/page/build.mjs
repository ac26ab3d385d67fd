// Makes the page of one file: the engine, the demos with their weather and parts, script and style.
// Usage: node build.mjs SOURCE_FOLDER WEB_BUILD_FOLDER VERSION OUTPUT
import {createHash} from 'node:crypto';
import {readFileSync, readdirSync, writeFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {dirname, join} from 'node:path';
import {fileURLToPath} from 'node:url';
import {gzipSync} from 'node:zlib';

const [source, web, version, output] = process.argv.slice(2);
const here = dirname(fileURLToPath(import.meta.url));
const modules = join(web, 'tools/report/page');
const esbuild = createRequire(join(modules, 'package.json'))('esbuild');

async function bundle(file) {
  const {outputFiles} = await esbuild.build({entryPoints: [join(here, file)], bundle: true, minify: true, format: 'iife', target: 'es2022',
    charset: 'ascii', write: false});
  return outputFiles[0].text.trim();
}
const packed = bytes => gzipSync(bytes, {level: 9}).toString('base64');
const hash = script => `'sha256-${createHash('sha256').update(script).digest('base64')}'`;

const files = {};
for (const folder of ['scenarios', 'scenarios/parts', 'scenarios/weather'])
  for (const name of readdirSync(join(source, folder)).sort())
    if (/\.(toml|csv)$/.test(name)) files[`${folder}/${name}`] = readFileSync(join(source, folder, name), 'utf8');

const script = await bundle('page.js');
if (/<\/script|<!--/i.test(script)) throw new Error('the script would end its own element');
const glue = readFileSync(join(web, 'holdwater.js'), 'utf8');
const palette = readFileSync(join(source, 'tools/report/page/page.css'), 'utf8').match(/:root \{[^}]*\}/)[0];
const report = readFileSync(join(modules, 'report.js.hash'), 'utf8').trim();

const parts = {
  scripts: `${hash(script)} '${report}'`,  // the report's script runs in its frame
  style: palette + '\n' + readFileSync(join(here, 'page.css'), 'utf8'),
  version,
  engine: packed(readFileSync(join(web, 'holdwater.wasm'))),
  files: packed(JSON.stringify(files)),
  worker: packed(`${glue}\nself.createHoldwater = createHoldwater;\n${await bundle('worker.js')}`),
  script,
};
const page = readFileSync(join(here, 'page.html'), 'utf8').replace(/\{\{(\w+)\}\}/g, (_, name) => parts[name]);
writeFileSync(output, page);
