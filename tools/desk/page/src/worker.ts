// The engine in a worker: requests come in, answers go out, in their order.
// `createHoldwater` comes from holdwater.js, which the build puts before this file.
import {openEngine, type Engine} from '../../engine.mjs';
import {unpacked} from './packed';
import type {Start, Started} from './port';
import {texts} from './texts';

const scope = self as unknown as {createHoldwater: unknown; onmessage: unknown; postMessage(data: unknown): void};
let engine: Engine;
let asked = 0;  // the question that is being answered

interface Message {
  id: number;
  start?: Start;
  path?: string;
  bytes?: Uint8Array;
  call?: string;
  request?: object;
}

async function started({engine: given, files}: Start): Promise<Started> {
  const text = unpacked(files);
  const compiled = typeof given === 'string' ? await WebAssembly.compile(await unpacked(given) as BufferSource) : given;
  engine = await openEngine(scope.createHoldwater, compiled, share => scope.postMessage({id: asked, share}));
  const list = Object.entries(JSON.parse(new TextDecoder().decode(await text)) as Record<string, string>), encoder = new TextEncoder();
  for (const [path, content] of list) engine.putFile(path, encoder.encode(content));
  return {engine: compiled, texts: list.filter(([path]) => path.endsWith('.toml'))};
}

scope.onmessage = async ({data}: {data: Message}) => {
  const answer = (result: object) => scope.postMessage({id: data.id, ...result});
  try {
    if (data.start) {
      answer({answer: await started(data.start)});
    } else if (data.bytes) {
      const error = engine.putFile(data.path!, data.bytes);
      answer(error ? {error} : {answer: true});
    } else {
      asked = data.id;
      answer(engine.call(data.call!, data.request));
    }
  } catch (error) {
    answer({error: texts.engine_stopped(error instanceof Error ? error.message : String(error))});
  }
};
