// Bundles the page's script with the parts of the plot library it uses, says its hash for the page's content
// security policy, and collects the license texts of every package that got into the bundle.
// Usage: node build.mjs FOLDER_WITH_NODE_MODULES OUTPUT
import {createHash} from 'node:crypto';
import {readFileSync, readdirSync, writeFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {dirname, join} from 'node:path';
import {fileURLToPath} from 'node:url';

const [modules, output] = process.argv.slice(2);
const esbuild = createRequire(join(modules, 'package.json'))('esbuild');
const {metafile} = await esbuild.build({
  entryPoints: [join(dirname(fileURLToPath(import.meta.url)), 'page.js')],
  bundle: true,
  metafile: true,
  minify: true,
  format: 'iife',
  target: 'es2019',
  charset: 'ascii',
  legalComments: 'none',
  nodePaths: [join(modules, 'node_modules')],
  define: {'process.env.NODE_ENV': '"production"'},
  outfile: output,
});

// License, notice and copyright files at the top of a package and in its folder of licenses.
function texts(folder) {
  const found = readdirSync(folder).filter(f => /^(licen[cs]e|notice|copyright)/i.test(f)).sort();
  const files = found.flatMap(f => f === 'licenses' ? readdirSync(join(folder, f)).sort().map(g => join(f, g)) : [f]);
  return files.map(f => `${f}\n\n${readFileSync(join(folder, f), 'utf8').trim()}`);
}

const used = Object.values(metafile.outputs)[0].inputs;
const packages = [...new Set(Object.keys(used).filter(f => used[f].bytesInOutput > 0)
    .map(f => f.match(/.*node_modules\/((?:@[^/]+\/)?[^/]+)\//)?.[1]).filter(name => name))].sort();
const notices = packages.map(name => {
  const folder = join(modules, 'node_modules', name);
  const {version, license} = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
  const own = texts(folder);
  if (own.length === 0) throw new Error(`${name} is in the page's script, but has no license text`);
  return [`${name} ${version} (${license})`, ...own].join('\n\n');
});
if (notices.length === 0) throw new Error('the page\'s script contains no package: its notices would be empty');
writeFileSync(output + '.notices', notices.join(`\n\n${'-'.repeat(72)}\n\n`) + '\n');

const names = packages.join(', ');
const script = `/* This script contains ${names}; their license texts stand at the end of this page. */\n` +
    readFileSync(output, 'utf8').trim();
if (/<\/script|<!--/i.test(script)) throw new Error('the bundle would end its own script element');
writeFileSync(output, script);
writeFileSync(output + '.hash', 'sha256-' + createHash('sha256').update(script).digest('base64'));
