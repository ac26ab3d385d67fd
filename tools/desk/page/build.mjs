// Makes the page of one file: the engine, the demos with their weather and parts, script and style. It stands in a copy of the
// page's folder, beside its packages.
// Usage: node build.mjs SOURCE_FOLDER WEB_BUILD_FOLDER VERSION OUTPUT
import {createHash} from 'node:crypto';
import {readFileSync, readdirSync, writeFileSync} from 'node:fs';
import {dirname, join} from 'node:path';
import {fileURLToPath} from 'node:url';
import {gzipSync} from 'node:zlib';
import * as esbuild from 'esbuild';

const [source, web, version, output] = process.argv.slice(2);
const here = dirname(fileURLToPath(import.meta.url));

async function bundle(file) {
  const {outputFiles, metafile} = await esbuild.build({entryPoints: [join(here, 'src', file)], bundle: true, minify: true, format: 'iife', target: 'es2022',
    charset: 'ascii', legalComments: 'none', jsx: 'automatic', jsxImportSource: 'preact', define: {'process.env.NODE_ENV': '"production"'}, metafile: true, write: false});
  return {text: outputFiles[0].text.trim(), inputs: metafile.inputs};
}
const packed = bytes => gzipSync(bytes, {level: 9}).toString('base64');
const hash = script => `'sha256-${createHash('sha256').update(script).digest('base64')}'`;

// License texts of every package in the script.
function noticesOf(inputs) {
  const packages = [...new Set(Object.keys(inputs).map(f => f.match(/.*node_modules\/((?:@[^/]+\/)?[^/]+)\//)?.[1]).filter(name => name))].sort();
  return packages.map(name => {
    const folder = join(here, 'node_modules', name), {version, license} = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
    const texts = readdirSync(folder).filter(f => /^(licen[cs]e|notice|copyright)(\.|$)/i.test(f)).map(f => readFileSync(join(folder, f), 'utf8').trim());
    if (texts.length === 0) throw new Error(`${name} is in the page's script, but has no license text`);
    return [`${name} ${version} (${license})`, ...texts].join('\n\n');
  }).join(`\n\n${'-'.repeat(72)}\n\n`);
}
// As the content of a script element, which ends at its own end tag alone.
function asContent(text, what) {
  if (/<\/script|<!--/i.test(text)) throw new Error(`${what} would end its own element`);
  return text;
}

const files = {};
for (const folder of ['scenarios', 'scenarios/parts', 'scenarios/weather'])
  for (const name of readdirSync(join(source, folder)).sort())
    if (/\.(toml|csv)$/.test(name)) files[`${folder}/${name}`] = readFileSync(join(source, folder, name), 'utf8');

const {text: script, inputs} = await bundle('main.tsx'), plots = await bundle('plots.ts');
const glue = readFileSync(join(web, 'holdwater.js'), 'utf8');
const palette = readFileSync(join(source, 'tools/report/page/page.css'), 'utf8').match(/:root \{[^}]*\}/)[0];
const report = readFileSync(join(web, 'tools/report/page/report.js.hash'), 'utf8').trim();

const parts = {
  scripts: `${hash(script)} ${hash(plots.text)} '${report}'`,  // the report's script runs in its frame
  style: palette + '\n' + readFileSync(join(here, 'style.css'), 'utf8'),
  version,
  notices: asContent(noticesOf({...inputs, ...plots.inputs}), 'a license'),
  engine: packed(readFileSync(join(web, 'holdwater.wasm'))),
  files: packed(JSON.stringify(files)),
  worker: asContent(`${glue}\nself.createHoldwater = createHoldwater;\n${(await bundle('worker.ts')).text}`, 'the worker'),
  script: asContent(script, 'the script'),
  plots: packed(plots.text),
};
const page = readFileSync(join(here, 'page.html'), 'utf8').replace(/\{\{(\w+)\}\}/g, (_, name) => parts[name]);
writeFileSync(output, page);
