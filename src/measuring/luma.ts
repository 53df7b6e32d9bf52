/** Luma codes of one picture, row by row. */
export interface Luma {
  readonly width: number;
  readonly height: number;
  readonly codes: Uint8Array | Uint16Array | Float32Array;
}

/** Averages blocks of `factor` × `factor` codes; what does not fill a block at the right or the bottom is left out. */
export function shrinkLuma({ width, height, codes }: Luma, factor: number): Luma {
  const narrowWidth = Math.floor(width / factor);
  const lowHeight = Math.floor(height / factor);
  const sums = new Float32Array(narrowWidth * lowHeight);
  for (let y = 0; y < lowHeight * factor; y++) {
    const row = Math.floor(y / factor) * narrowWidth;
    for (let x = 0, at = y * width; x < narrowWidth; x++) {
      let sum = 0;
      for (let end = at + factor; at < end; at++) sum += codes[at]!;
      sums[row + x]! += sum;
    }
  }
  const scale = 1 / (factor * factor);
  for (let i = 0; i < sums.length; i++) sums[i]! *= scale;
  return { width: narrowWidth, height: lowHeight, codes: sums };
}
