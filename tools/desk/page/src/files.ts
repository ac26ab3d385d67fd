// Files that a person drops, picks or saves.
import {fileName} from './format';
import {texts} from './texts';
import type {Design} from './types';

const decoder = new TextDecoder();

/** The mark before the scenario in a file of "Send this". */
export const scenario_mark = '----- scenario (TOML) -----';

/** The scenario inside a report or a file of "Send this"; null: there is none. */
export function scenarioInside(text: string): string | null {
  const mark = text.indexOf(scenario_mark);
  if (mark >= 0) return text.slice(text.indexOf('\n', mark) + 1);
  const found = /<details class="scenario">[^]*?<pre[^>]*>([^]*?)<\/pre>/.exec(text);
  if (!found) return null;
  const plain: Record<string, string> = {'&lt;': '<', '&gt;': '>', '&quot;': '"', '&#39;': '\'', '&apos;': '\'', '&#x27;': '\'', '&#x2F;': '/', '&#x60;': '`', '&#x3D;': '=', '&amp;': '&'};
  return found[1]!.replace(/&(?:lt|gt|quot|apos|#39|#x27|#x2F|#x60|#x3D|amp);/g, sign => plain[sign]!);
}

/** Files that a scenario names with a folder ("weather/site.csv"), found by their name among those that were dropped. */
export function namedFiles(text: string, dropped: Record<string, Uint8Array>): Record<string, Uint8Array> {
  const named: Record<string, Uint8Array> = {};
  for (const [, path] of text.matchAll(/"([^"\n]+\.[a-z0-9]{2,4})"/gi)) {
    const bytes = dropped[fileName(path!)];
    if (path!.includes('/') && bytes) named[path!] = bytes;
  }
  return named;
}

/** The designs in these files, and else the weather files. */
export function sorted(dropped: Record<string, Uint8Array>): {designs: Design[]; weather: string[]; wrong: string} {
  const designs: Design[] = [];
  const weather: string[] = [];
  let wrong = '';
  for (const [path, bytes] of Object.entries(dropped)) {
    const kind = path.slice(path.lastIndexOf('.') + 1).toLowerCase();
    const whole = ['toml', 'html', 'htm', 'txt'].includes(kind) ? decoder.decode(bytes) : '';
    const text = kind === 'toml' ? whole : scenarioInside(whole);
    if (text !== null && (kind === 'toml' || whole !== '')) {
      const {[path]: _, ...others} = dropped;
      designs.push({path: path.replace(/\.\w+$/, '.toml'), text, files: {...others, ...namedFiles(text, dropped)}, weather: []});
    } else if (kind === 'html' || kind === 'htm') {
      wrong ||= texts.no_scenario_in(path);
    } else {
      weather.push(path);
    }
  }
  return {designs, weather: weather.sort(), wrong};
}

export function download(name: string, text: string, type: string): void {
  const url = URL.createObjectURL(new Blob([text], {type}));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60000);
}
