// A long study of the open design in an engine of its own, with progress and cancel. The engine stays for the next study; cancel
// ends it.
import {design} from './state';
import {loadDesign, openPort, type Port} from './port';
import type {Answer} from './types';

export interface Study<T> {
  result: Promise<Answer<T> | null>;
  /** Ends it at once; the result is then null. */
  cancel(): void;
}

let idle: Port | null = null;

/** `work` asks the engine, which has the open design, as often as it needs. */
export function study<T>(work: (port: Port) => Promise<Answer<T>>): Study<T> {
  let port: Port | null = null, cancelled = false;
  const of = design.value!;
  const result = (async () => {
    const taken = idle ?? await openPort();
    idle = null;
    if (cancelled) {
      idle ??= taken;
      return null;
    }
    port = taken;
    const loaded = await loadDesign(taken, of);
    const done = loaded.error !== undefined ? loaded : await work(taken);
    if (cancelled) return null;
    if (idle) taken.close();
    else idle = taken;
    return done;
  })();
  return {result, cancel() {
    cancelled = true;
    port?.close();
  }};
}
