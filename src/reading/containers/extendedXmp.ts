import type { ExtendedXmpPart } from './stillContents.ts';
import { maxXmpBytes } from './metadataBounds.ts';

/**
 * Joins the parts that carry one GUID, in whatever order they stand. The answer is the packet, or the reason why there
 * is none: a packet with a hole or with foreign text in it is no packet (XMP specification part 3, 1.1.3.1).
 */
export function joinedExtendedXmp(parts: readonly ExtendedXmpPart[], guid: string): Buffer | string {
  const own = parts.filter((part) => part.guid === guid).toSorted((a, b) => a.offset - b.offset);
  const [first] = own;
  if (!first) return 'no part carries the GUID that the main packet names';
  if (first.totalBytes > maxXmpBytes) return `it claims ${first.totalBytes} bytes; ${maxXmpBytes} are read`;
  if (own.some((part) => part.totalBytes !== first.totalBytes)) return 'its parts disagree about its length';
  let end = 0;
  for (const part of own) {
    if (part.offset !== end) return `its bytes from ${Math.min(end, part.offset)} are missing or stand twice`;
    end += part.bytes.length;
  }
  if (end !== first.totalBytes) return `${end} of its ${first.totalBytes} bytes are there`;
  return Buffer.concat(own.map((part) => part.bytes));
}
