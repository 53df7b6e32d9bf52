const declaredEncoding = /^<\?xml[^>]*\bencoding\s*=\s*["']([A-Za-z0-9._-]{1,40})["']/;
const latin1Names = new Set(['iso-8859-1', 'latin1', 'windows-1252', 'us-ascii']);

/**
 * The text of an XMP packet. Its byte order mark decides; without one, the zeros round its first character; without
 * those, its XML declaration; else it is UTF-8 (XMP specification part 1, 7.3.2). Absent for other encodings.
 */
export function xmpText(packet: Uint8Array): string | undefined {
  const bytes = Buffer.from(packet.buffer, packet.byteOffset, packet.byteLength);
  const start = bytes.toString('hex', 0, 4);
  if (start === '0000feff' || start === '0000003c') return utf32(bytes, 'big');
  if (start === 'fffe0000' || start === '3c000000') return utf32(bytes, 'little');
  if (start.startsWith('feff') || start.startsWith('003c')) return decoded('utf-16be', bytes);
  if (start.startsWith('fffe') || start.startsWith('3c00')) return decoded('utf-16le', bytes);
  const declared = declaredEncoding.exec(bytes.toString('latin1', 0, 200).trimStart())?.[1]?.toLowerCase();
  if (declared !== undefined && latin1Names.has(declared)) return bytes.toString('latin1');
  if (declared === undefined || declared === 'utf-8' || start.startsWith('efbbbf'))
    return decoded('utf-8', bytes);
  return undefined;
}

// Takes the byte order mark away; a damaged sequence becomes U+FFFD, which no number contains.
function decoded(encoding: 'utf-8' | 'utf-16le' | 'utf-16be', bytes: Buffer): string {
  return new TextDecoder(encoding).decode(bytes);
}

function utf32(bytes: Buffer, order: 'big' | 'little'): string {
  const characters: string[] = [];
  for (let at = 0; at + 4 <= bytes.length; at += 4) {
    const code = order === 'big' ? bytes.readUInt32BE(at) : bytes.readUInt32LE(at);
    if (code === 0xfeff && at === 0) continue;
    characters.push(code <= 0x10ffff ? String.fromCodePoint(code) : '\ufffd');
  }
  return characters.join('');
}
