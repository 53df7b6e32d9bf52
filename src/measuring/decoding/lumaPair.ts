import { freeAtOnce } from '../freeAtOnce.ts';
import { borrowMemory, returnMemory } from './spareMemory.ts';

/** Two pictures of luma that arrive while others are read, each in memory of its own. */
export interface LumaPair {
  /** Copies what is in the chunk and frees it. */
  readonly take: (chunk: Buffer) => void;
  /** Those that arrived whole, in order. */
  readonly pictures: () => readonly LentLuma[];
  /** Takes back what was not kept. */
  readonly release: () => void;
}

interface LentLuma {
  readonly luma: Uint8Array | Uint16Array;
  /** Whoever calls this hands the memory back with returnMemory(). */
  readonly keep: () => void;
}

export function planLumaPair(codeCount: number, bitDepth: number): LumaPair {
  const byteLength = bitDepth > 8 ? 2 * codeCount : codeCount;
  const lent = new Set([borrowMemory(byteLength), borrowMemory(byteLength)]);
  const memories = [...lent];
  let filled = 0;
  return {
    take: (chunk) => {
      for (let from = 0; from < chunk.length && filled < 2 * byteLength;) {
        const at = filled % byteLength;
        const part = chunk.subarray(from, from + byteLength - at);
        new Uint8Array(memories[Math.floor(filled / byteLength)]!).set(part, at);
        filled += part.length;
        from += part.length;
      }
      freeAtOnce(chunk);
    },
    pictures: () =>
      memories.slice(0, Math.floor(filled / byteLength)).map((memory) => ({
        luma: bitDepth > 8 ? new Uint16Array(memory) : new Uint8Array(memory),
        keep: () => void lent.delete(memory),
      })),
    release: () => {
      for (const memory of lent) returnMemory(memory);
      lent.clear();
    },
  };
}
