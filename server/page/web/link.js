// Packs what is worked on into the fragment of a link, which no server gets to see,
// and out of it again: JSON, deflated, in base64 for addresses (RFC 4648, section 5).

export const longest = 8192; // characters of a fragment; more goes by a file
const mostUnpacked = 4 << 20; // bytes; a short link must not fill the memory

async function through(bytes, stream, most) {
  const reader = new Blob([bytes]).stream().pipeThrough(stream).getReader();
  const parts = [];
  let size = 0;
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return new Uint8Array(await new Blob(parts).arrayBuffer());
    size += value.length;
    if (size > most) {
      await reader.cancel();
      throw new Error('its content is too large');
    }
    parts.push(value);
  }
}

export async function packed(value) {
  const bytes = await through(new TextEncoder().encode(JSON.stringify(value)), new CompressionStream('deflate-raw'), Infinity);
  return btoa(Array.from(bytes, (b) => String.fromCharCode(b)).join('')).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
}

export async function unpacked(text) {
  if (text.length > longest) throw new Error('it is too long');
  const raw = Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (c) => c.charCodeAt(0));
  return JSON.parse(new TextDecoder().decode(await through(raw, new DecompressionStream('deflate-raw'), mostUnpacked)));
}
