// How the page carries what it is made of: base64 of gzip, which the browser itself unpacks.

export function unpack(packed: string): Promise<ArrayBuffer> {
  const letters = atob(packed);
  const bytes = new Uint8Array(letters.length);
  for (let i = 0; i < letters.length; ++i) bytes[i] = letters.charCodeAt(i);
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
}
