// Bundles every test beside the sources and runs it under node's own test runner. Prints failures and "N passed, N failed".
// Usage: node test.mjs [SOURCE_FOLDER]; the folder of the build knows its source.
import {spawnSync} from 'node:child_process';
import {mkdtempSync, readFileSync, readdirSync, rmSync} from 'node:fs';
import {tmpdir} from 'node:os';
import {dirname, join} from 'node:path';
import {fileURLToPath} from 'node:url';
import * as esbuild from 'esbuild';

const here = dirname(fileURLToPath(import.meta.url));
const out = mkdtempSync(join(tmpdir(), 'holdwater-desk-tests-'));
const below = folder => readdirSync(folder, {withFileTypes: true}).flatMap(f => f.isDirectory() ? below(join(folder, f.name)) : [join(folder, f.name)]);
const source = process.argv[2] ?? readFileSync(join(here, 'source'), 'utf8').trim();
const tests = below(join(here, 'src')).filter(f => /\.test\.tsx?$/.test(f));
await esbuild.build({entryPoints: tests, outdir: out, outExtension: {'.js': '.mjs'}, bundle: true, format: 'esm', platform: 'node', target: 'node18',
  jsx: 'automatic', jsxImportSource: 'preact'});
const {stdout, status} = spawnSync(process.execPath, ['--test', ...below(out).filter(f => f.endsWith('.mjs'))], {encoding: 'utf8', env: {...process.env, NODE_OPTIONS: '', HOLDWATER_SOURCE: source}});
rmSync(out, {recursive: true});
const count = word => Number(new RegExp(`^. ${word} (\\d+)$`, 'm').exec(stdout)?.[1] ?? 0);
if (status !== 0) console.log(stdout);
console.log(`${count('pass')} passed, ${status === 0 ? count('fail') : Math.max(1, count('fail'))} failed`);
process.exit(status === 0 ? 0 : 1);
