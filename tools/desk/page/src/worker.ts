// The engine in a worker: requests come in, answers go out, in their order.
// `createHoldwater` comes from holdwater.js, which the build puts before this file.
import {openEngine, type Engine} from '../../engine.mjs';

const scope = self as unknown as {createHoldwater: unknown; onmessage: unknown; postMessage(data: unknown): void};
let engine: Engine;

interface Message {
  id: number;
  wasm?: WebAssembly.Module;
  files?: [string, Uint8Array][];
  path?: string;
  bytes?: Uint8Array;
  call?: string;
  request?: object;
}

scope.onmessage = async ({data}: {data: Message}) => {
  const answer = (result: object) => scope.postMessage({id: data.id, ...result});
  try {
    if (data.wasm) {
      engine = await openEngine(scope.createHoldwater, data.wasm);
      for (const [path, bytes] of data.files ?? []) engine.putFile(path, bytes);
      answer({answer: true});
    } else if (data.bytes) {
      const error = engine.putFile(data.path!, data.bytes);
      answer(error ? {error} : {answer: true});
    } else {
      answer(engine.call(data.call!, data.request));
    }
  } catch (error) {
    answer({error: `the engine stopped: ${error instanceof Error ? error.message : String(error)}`});
  }
};
