// Bundles every test beside the sources and runs it under node's own test runner. Usage: node test.mjs
import {execFileSync} from 'node:child_process';
import {mkdtempSync, readdirSync, rmSync} from 'node:fs';
import {tmpdir} from 'node:os';
import {dirname, join} from 'node:path';
import {fileURLToPath} from 'node:url';
import * as esbuild from 'esbuild';

const here = dirname(fileURLToPath(import.meta.url));
const out = mkdtempSync(join(tmpdir(), 'holdwater-desk-tests-'));
const tests = readdirSync(join(here, 'src'), {recursive: true}).filter(f => /\.test\.tsx?$/.test(f)).map(f => join(here, 'src', f));
await esbuild.build({entryPoints: tests, outdir: out, outExtension: {'.js': '.mjs'}, bundle: true, format: 'esm', platform: 'node', target: 'node18', jsx: 'automatic', jsxImportSource: 'preact'});
try {
  execFileSync(process.execPath, ['--test', ...readdirSync(out, {recursive: true}).filter(f => f.endsWith('.mjs')).map(f => join(out, f))], {stdio: 'inherit'});
} catch {
  process.exitCode = 1;
} finally {
  rmSync(out, {recursive: true});
}
