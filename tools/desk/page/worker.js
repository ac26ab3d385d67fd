// The engine in a worker: requests come in, answers go out, in their order.
// `createHoldwater` comes from holdwater.js, which the build puts before this file.
import {openEngine} from '../engine.mjs';

let engine;

self.onmessage = async ({data}) => {
  try {
    if (data.wasm) {
      engine = await openEngine(self.createHoldwater, data.wasm);
      for (const [path, bytes] of data.files) engine.putFile(path, bytes);
      self.postMessage({id: data.id, answer: true});
    } else if (data.bytes) {
      const error = engine.putFile(data.path, data.bytes);
      self.postMessage(error ? {id: data.id, error} : {id: data.id, answer: true});
    } else {
      self.postMessage({id: data.id, ...engine.call(data.call, data.request)});
    }
  } catch (error) {
    self.postMessage({id: data.id, error: `the engine stopped: ${error.message ?? error}`});
  }
};
