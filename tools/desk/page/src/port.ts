// A worker with an engine in it. Every request gets one answer: {answer, warnings} or {error}.
import {partOf} from './packed';
import {texts} from './texts';
import type {Answer, Design} from './types';

/** Told how far a call is, 0 to 1. */
export type TellShare = (share: number) => void;

export interface Port {
  call<T>(call: string, request?: object, tell?: TellShare): Promise<Answer<T>>;
  putFile(path: string, bytes: Uint8Array): Promise<Answer<true>>;
  close(): void;
}

/** The error of a question whose engine was closed. */
export const stopped = 'stopped';

/** What an engine needs to start: itself, packed or as the first engine has compiled it, and the demos' files, packed. */
export interface Start {
  engine: WebAssembly.Module | string;
  files: string;
}
export interface Started {
  engine: WebAssembly.Module;
  /** Scenarios and parts lists of the page: path and text. */
  texts: [path: string, text: string][];
}

let worker_url: string | undefined;
let first: Promise<Started> | undefined;

/** The demos and the parts lists that the page carries, once an engine has started. */
export const pageTexts = async (): Promise<Started['texts']> => (await first!).texts;

/** An engine with the demos' files in it. */
export async function openPort(): Promise<Port> {
  const compiled = first && await first;
  worker_url ??= URL.createObjectURL(new Blob([partOf('worker')], {type: 'text/javascript'}));
  const worker = new Worker(worker_url);
  const waiting = new Map<number, {answer: (result: Answer<never>) => void; tell: TellShare | undefined}>();
  let next = 0;
  const endAll = (error: string) => {
    for (const {answer} of waiting.values()) answer({error});
    waiting.clear();
  };
  worker.onmessage = ({data}) => {
    const {id, share, ...result} = data;
    if (share !== undefined) return waiting.get(id)?.tell?.(share);
    waiting.get(id)?.answer(result);
    waiting.delete(id);
  };
  worker.onerror = event => endAll(texts.engine_cannot_start(event.message));
  const send = (message: object, tell?: TellShare) => new Promise<Answer<never>>(answer => {
    waiting.set(++next, {answer, tell});
    worker.postMessage({...message, id: next});
  });
  const start: Start = {engine: compiled?.engine ?? partOf('engine'), files: partOf('files')};
  const starting = send({start}).then((started: Answer<Started>) => {
    if (started.error !== undefined) throw new Error(started.error);
    return started.answer;
  });
  first ??= starting;
  await starting;
  return {
    call: (call, request = {}, tell) => send({call, request}, tell),
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
