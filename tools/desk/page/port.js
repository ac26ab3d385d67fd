// A worker with an engine in it. Every request gets one answer: {answer, warnings} or {error}.

async function unpacked(id) {
  const text = document.getElementById(id).textContent.trim();
  const bytes = Uint8Array.from(atob(text), c => c.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

let parts;

// What the page carries: the engine, the worker's script, the demos with their weather and parts ([path, bytes]).
export function pageParts() {
  parts ??= (async () => {
    const [wasm, files, worker] = await Promise.all(['engine', 'files', 'worker'].map(unpacked));
    const encoder = new TextEncoder();
    const list = Object.entries(JSON.parse(new TextDecoder().decode(files)));
    return {wasm, files: list.map(([path, text]) => [path, encoder.encode(text)]),
      worker: URL.createObjectURL(new Blob([worker], {type: 'text/javascript'}))};
  })();
  return parts;
}

// `files` are put before the first request: [path, bytes].
export async function openPort(files) {
  const {wasm, worker: url} = await pageParts();
  const worker = new Worker(url);
  const waiting = new Map();
  let next = 0;
  worker.onmessage = ({data}) => {
    const {id, ...result} = data;
    waiting.get(id)?.(result);
    waiting.delete(id);
  };
  worker.onerror = event => {
    for (const answer of waiting.values()) answer({error: `the engine cannot start: ${event.message}`});
    waiting.clear();
  };
  const send = message => new Promise(resolve => {
    waiting.set(++next, resolve);
    worker.postMessage({...message, id: next});
  });
  const started = await send({wasm, files});
  if (started.error) throw new Error(started.error);
  return {
    call: (call, request = {}) => send({call, request}),
    putFile: (path, bytes) => send({path, bytes}),
    close() {
      worker.terminate();
      for (const answer of waiting.values()) answer({error: 'stopped'});
      waiting.clear();
    },
  };
}
