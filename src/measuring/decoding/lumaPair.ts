/** Two pictures of luma that arrive while others are read, each in memory of its own. */
export interface LumaPair {
  /** Copies what is in the chunk. */
  readonly take: (chunk: Buffer) => void;
  /** Those that arrived whole, in order. */
  readonly pictures: () => readonly (Uint8Array | Uint16Array)[];
}

export function planLumaPair(codeCount: number, bitDepth: number): LumaPair {
  const byteLength = bitDepth > 8 ? 2 * codeCount : codeCount;
  const memories = [new ArrayBuffer(byteLength), new ArrayBuffer(byteLength)];
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
    },
    pictures: () =>
      memories
        .slice(0, Math.floor(filled / byteLength))
        .map((memory) => (bitDepth > 8 ? new Uint16Array(memory) : new Uint8Array(memory))),
  };
}
