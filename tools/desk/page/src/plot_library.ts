// The plot library is unpacked and run when the first plot is drawn: it is most of the page's script, and the first answer comes
// without it.
import type {init} from 'echarts/core';
import {partOf, unpacked} from './packed';

let loaded: Promise<typeof init> | undefined;

export function plotLibrary(): Promise<typeof init> {
  loaded ??= (async () => {
    // Its part stands behind the page's own script.
    if (document.readyState === 'loading') await new Promise(done => document.addEventListener('DOMContentLoaded', done));
    const script = document.createElement('script');
    script.textContent = new TextDecoder().decode(await unpacked(partOf('plots')));
    document.head.append(script);
    return (globalThis as {holdwaterPlots?: typeof init}).holdwaterPlots!;
  })();
  return loaded;
}
