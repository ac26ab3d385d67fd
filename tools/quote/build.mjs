// Bundles the page's script with the parts of the plot library it uses, and says its hash for the page's
// content security policy. Usage: node build.mjs FOLDER_WITH_NODE_MODULES OUTPUT
import {createHash} from 'node:crypto';
import {readFileSync, writeFileSync} from 'node:fs';
import {createRequire} from 'node:module';
import {dirname, join} from 'node:path';
import {fileURLToPath} from 'node:url';

const [modules, output] = process.argv.slice(2);
const esbuild = createRequire(join(modules, 'package.json'))('esbuild');
await esbuild.build({
  entryPoints: [join(dirname(fileURLToPath(import.meta.url)), 'page.js')],
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2019',
  charset: 'ascii',
  legalComments: 'none',
  nodePaths: [join(modules, 'node_modules')],
  define: {'process.env.NODE_ENV': '"production"'},
  outfile: output,
});
const notice = readFileSync(join(modules, 'node_modules/echarts/NOTICE'), 'utf8').trim().replace(/\*\//g, '* /');
const script = `/* This script contains Apache ECharts and zrender.\n${notice}\nLicensed under the Apache License 2.0 and the BSD 3-Clause License. */\n` +
    readFileSync(output, 'utf8').trim();
if (/<\/script|<!--/i.test(script)) throw new Error('the bundle would end its own script element');
writeFileSync(output, script);
writeFileSync(output + '.hash', 'sha256-' + createHash('sha256').update(script).digest('base64'));
