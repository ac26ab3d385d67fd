// A long study of the open design in an engine of its own, with progress and cancel.
import {design} from './state';
import {loadDesign, openPort, type Port} from './port';
import type {Answer} from './types';

export interface Study<T> {
  result: Promise<Answer<T> | null>;
  /** Ends it at once; the result is then null. */
  cancel(): void;
}

/** `work` asks the engine, which has the open design, as often as it needs. */
export function study<T>(work: (port: Port) => Promise<Answer<T>>): Study<T> {
  let port: Port | null = null, cancelled = false;
  const of = design.value!;
  const result = (async () => {
    const opened = await openPort();
    if (cancelled) {
      opened.close();
      return null;
    }
    port = opened;
    try {
      const loaded = await loadDesign(opened, of);
      const done = loaded.error !== undefined ? loaded : await work(opened);
      return cancelled ? null : done;
    } finally {
      opened.close();
    }
  })();
  return {result, cancel() {
    cancelled = true;
    port?.close();
  }};
}
