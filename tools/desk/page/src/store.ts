// What the browser keeps of the page: the design's text and settings, and the bytes of files that were opened with it.
import type {Design, Kept, Saved, Units} from './types';

const name = 'holdwater-desk';
const most_text = 4 << 20;

export interface Keeping {
  design: {path: string; text: string; weather: string[]; temperature?: string | undefined; files: string[]};
  units: Units;
  theme: string;
  option: string;
  kept: Kept[];
  last_saved?: Saved | null;
  time: string;
}

function database(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, 1);
    request.onupgradeneeded = () => request.result.createObjectStore('files');
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** Keeps the files of a design in place of the earlier ones. */
export async function keepFiles(files: Record<string, Uint8Array>): Promise<void> {
  const db = await database();
  const store = db.transaction('files', 'readwrite').objectStore('files');
  store.clear();
  for (const [path, bytes] of Object.entries(files)) store.put(bytes, path);
  await new Promise((resolve, reject) => {
    store.transaction.oncomplete = resolve;
    store.transaction.onerror = () => reject(store.transaction.error);
  });
  db.close();
}

export async function keptFiles(paths: string[]): Promise<Record<string, Uint8Array>> {
  if (paths.length === 0) return {};
  const db = await database();
  const store = db.transaction('files').objectStore('files');
  const files: Record<string, Uint8Array> = {};
  for (const path of paths) {
    const bytes = await done<Uint8Array | undefined>(store.get(path));
    if (bytes) files[path] = bytes;
  }
  db.close();
  return files;
}

/** Throws where the browser keeps nothing. */
export function keep(what: Keeping): void {
  const text = JSON.stringify(what);
  if (text.length > most_text) throw new Error('too long');
  localStorage.setItem(name, text);
}

export function lastKept(): Keeping | null {
  try {
    const kept = JSON.parse(localStorage.getItem(name) ?? 'null') as Keeping | null;
    return kept?.design?.text === undefined ? null : kept;
  } catch {
    return null;
  }
}

/** What is being typed into a field and has not been taken yet. */
export interface Typing {
  key: string;
  typed: string;
}
const typing_name = `${name}-typing`;

/** Keeps it with each letter; null: it has been taken, or taken back. */
export function keepTyping(typing: Typing | null): void {
  try {
    if (typing) localStorage.setItem(typing_name, JSON.stringify(typing));
    else localStorage.removeItem(typing_name);
  } catch {
    // The browser keeps nothing; the page has said so when it kept the design.
  }
}
export function keptTyping(): Typing | null {
  try {
    return JSON.parse(localStorage.getItem(typing_name) ?? 'null') as Typing | null;
  } catch {
    return null;
  }
}

/** What was typed into a form that is not sent yet, by the name of the form; null: it has been sent. */
export function keepForm(form: string, values: Record<string, string> | null): void {
  try {
    if (values) localStorage.setItem(`${name}-${form}`, JSON.stringify(values));
    else localStorage.removeItem(`${name}-${form}`);
  } catch {
    // As in keepTyping.
  }
}
export function keptForm(form: string): Record<string, string> {
  try {
    return JSON.parse(localStorage.getItem(`${name}-${form}`) ?? '{}') as Record<string, string>;
  } catch {
    return {};
  }
}
export const formValues = (form: HTMLFormElement) => Object.fromEntries([...new FormData(form)].map(([key, value]) => [key, String(value)]));

export const asKept = ({path, text, weather, temperature, files}: Design) => ({path, text, weather, temperature, files: Object.keys(files)});
