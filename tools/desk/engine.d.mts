export interface Engine {
  /** Returns what was wrong, or ''. */
  putFile(path: string, bytes: Uint8Array): string;
  call(name: string, request?: object): {answer: any; warnings: string[]} | {error: string};
}
export function openEngine(create: unknown, wasm: Uint8Array | WebAssembly.Module, onProgress?: (share: number) => void): Promise<Engine>;
