// The engine for JavaScript: texts and bytes in, JSON out, nothing thrown across the border (see desk.hpp).
// `create` is the function that holdwater.js defines, `wasm` the bytes of holdwater.wasm, or a module that was compiled from them.
// `onProgress` is told how far a call is, 0 to 1, while it runs.
export async function openEngine(create, wasm, onProgress = () => {}) {
  const given = wasm instanceof WebAssembly.Module
    ? {instantiateWasm: (imports, done) => { WebAssembly.instantiate(wasm, imports).then(instance => done(instance, wasm)); return {}; }}
    : {wasmBinary: wasm};
  const module = await create({...given, onProgress, print: () => {}, printErr: text => console.error(text)});

  function withText(text, use) {
    const size = module.lengthBytesUTF8(text) + 1, at = module._malloc(size);
    module.stringToUTF8(text, at, size);
    try {
      return use(at);
    } finally {
      module._free(at);
    }
  }

  return {
    // A file under the name that the scenario has for it. Returns what was wrong, or ''.
    putFile(path, bytes) {
      const at = module._malloc(Math.max(bytes.length, 1));
      module.HEAPU8.set(bytes, at);
      try {
        return withText(path, name => module.UTF8ToString(module._holdwater_put_file(name, at, bytes.length)));
      } finally {
        module._free(at);
      }
    },
    // {answer, warnings} or {error}
    call(name, request = {}) {
      const text = JSON.stringify({call: name, ...request});
      return JSON.parse(withText(text, at => module.UTF8ToString(module._holdwater_call(at))));
    },
  };
}
