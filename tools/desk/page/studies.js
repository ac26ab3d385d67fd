// Long studies of the open design, one at a time, in an engine of its own. A newer one stops the one that runs.
import {openPort, pageParts} from './port.js';

// `load` gives a design to an engine (page.js).
export function openStudies(load) {
  let number = 0, running = null;
  const stop = () => {
    ++number;
    running?.close();
    running = null;
  };
  return {
    stop,
    // The answer of a call, or null if it was stopped.
    async run(call, design, request) {
      stop();
      const mine = number;
      const port = await openPort((await pageParts()).files);
      if (mine !== number) {
        port.close();
        return null;
      }
      running = port;
      const loaded = await load(port, design);
      const result = loaded.error ? loaded : await port.call(call, request);
      if (mine !== number) return null;
      stop();
      return result;
    },
  };
}
