// A worker with an engine in it. Every request gets one answer: {answer, warnings} or {error}.
import type {Answer, Design} from './types';

export interface Port {
  call<T>(call: string, request?: object): Promise<Answer<T>>;
  putFile(path: string, bytes: Uint8Array): Promise<Answer<true>>;
  close(): void;
}

async function unpacked(id: string): Promise<Uint8Array> {
  const text = document.getElementById(id)!.textContent!.trim();
  const letters = atob(text), bytes = new Uint8Array(letters.length);
  for (let i = 0; i < letters.length; ++i) bytes[i] = letters.charCodeAt(i);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/** The error of a question whose engine was closed. */
export const stopped = 'stopped';

interface Parts {
  /** Compiled once for all engines. */
  wasm: WebAssembly.Module;
  files: [string, Uint8Array][];
  worker: string;
}
let parts: Promise<Parts> | undefined;

/** What the page carries: the engine, the worker's script, the demos with their weather and parts. */
export function pageParts(): Promise<Parts> {
  parts ??= (async () => {
    const [wasm, files, worker] = await Promise.all(['engine', 'files', 'worker'].map(unpacked)) as [Uint8Array, Uint8Array, Uint8Array];
    const encoder = new TextEncoder();
    const list = Object.entries(JSON.parse(new TextDecoder().decode(files)) as Record<string, string>);
    return {wasm: await WebAssembly.compile(wasm as BufferSource), files: list.map(([path, text]): [string, Uint8Array] => [path, encoder.encode(text)]),
      worker: URL.createObjectURL(new Blob([worker as BlobPart], {type: 'text/javascript'}))};
  })();
  return parts;
}

/** An engine with the demos' files in it. */
export async function openPort(): Promise<Port> {
  const {wasm, worker: url, files} = await pageParts();
  const worker = new Worker(url);
  const waiting = new Map<number, (result: Answer<never>) => void>();
  let next = 0;
  const endAll = (error: string) => {
    for (const answer of waiting.values()) answer({error});
    waiting.clear();
  };
  worker.onmessage = ({data}) => {
    const {id, ...result} = data;
    waiting.get(id)?.(result);
    waiting.delete(id);
  };
  worker.onerror = event => endAll(`the engine cannot start: ${event.message}`);
  const send = (message: object) => new Promise<Answer<never>>(resolve => {
    waiting.set(++next, resolve);
    worker.postMessage({...message, id: next});
  });
  const started = await send({wasm, files});
  if (started.error !== undefined) throw new Error(started.error);
  return {
    call: (call, request = {}) => send({call, request}),
    putFile: (path, bytes) => send({path, bytes}),
    close() {
      worker.terminate();
      endAll(stopped);
    },
  };
}

/** Gives a design to an engine; the answer is that of load_scenario. */
export async function loadDesign<T>(port: Port, {path, text, files, weather, temperature = ''}: Design): Promise<Answer<T>> {
  for (const [name, bytes] of [...Object.entries(files), [path, new TextEncoder().encode(text)] as const]) {
    const put = await port.putFile(name, bytes);
    if (put.error !== undefined) return put;
  }
  const loaded = await port.call<T>('load_scenario', {path});
  if (loaded.error !== undefined) return loaded;
  const given = await port.call('load_weather', {paths: weather, temperature});
  return given.error !== undefined ? given : loaded;
}
