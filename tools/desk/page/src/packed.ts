// What the page carries is packed with gzip and written as base64. A worker unpacks the engine, so that the page stays quick.

export async function unpacked(base64: string): Promise<Uint8Array> {
  const letters = atob(base64.trim()), bytes = new Uint8Array(letters.length);
  for (let i = 0; i < letters.length; ++i) bytes[i] = letters.charCodeAt(i);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/** The text of a part of the page (page.html). */
export const partOf = (id: string): string => document.getElementById(id)!.textContent!;
