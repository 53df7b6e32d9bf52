/** Luma codes of one picture, row by row. */
export interface Luma {
  readonly width: number;
  readonly height: number;
  readonly codes: Uint8Array | Uint16Array | Float32Array;
  /** What a code stands for, where that is not the code itself. */
  readonly valueOfCode?: Float32Array;
}

/** Averages blocks of `factor` × `factor` codes (where they stand for values, of a power of two); what does not fill a block at the right or the bottom is left out. */
export function shrinkLuma(luma: Luma, factor: number): Luma {
  const { width, height, codes, valueOfCode } = luma;
  if (factor === 1) return luma;
  if (valueOfCode !== undefined) return shrinkLuma(halveValues(luma, valueOfCode), factor / 2);
  if (factor % 4 === 0 && codes instanceof Uint8Array)
    return shrinkLuma(quarterCodes(luma, codes), factor / 4);
  if (factor % 2 === 0) return shrinkLuma(halveLuma(luma), factor / 2);
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

/** Averages blocks of 4 × 4 codes at once: halving twice would fill four times the memory on the way. */
function quarterCodes({ width: stride, height }: Luma, codes: Uint8Array): Luma {
  const [width, rows] = [stride >> 2, height >> 2];
  const means = new Float32Array(width * rows);
  for (let y = 0; y < 4 * rows; y++) {
    let at = y * stride;
    let to = (y >> 2) * width;
    for (const end = to + width; to < end; to++, at += 4)
      means[to]! += (codes[at]! + codes[at + 1]! + codes[at + 2]! + codes[at + 3]!) / 16;
  }
  return { width, height: rows, codes: means };
}

/** Halves what the codes stand for, without ever having it in memory at the full size. */
export function halveValues(
  { width: stride, height, codes }: Luma,
  valueOfCode: Float32Array,
  into?: Float32Array,
): Luma & { codes: Float32Array } {
  const size = { width: stride >> 1, height: height >> 1 };
  const means = into ?? new Float32Array(size.width * size.height);
  for (let y = 0, to = 0; y < size.height; y++)
    for (let at = 2 * y * stride, end = to + size.width; to < end; to++, at += 2) {
      const upper = valueOfCode[codes[at]!]! + valueOfCode[codes[at + 1]!]!;
      means[to] = (upper + valueOfCode[codes[at + stride]!]! + valueOfCode[codes[at + stride + 1]!]!) / 4;
    }
  return { ...size, codes: means };
}

/** Averages blocks of 2 × 2 codes, into an array from before where one is given. */
export function halveLuma(
  { width, height, codes }: Luma,
  into?: Float32Array,
): Luma & { codes: Float32Array } {
  const size = { width: width >> 1, height: height >> 1 };
  const means = into ?? new Float32Array(size.width * size.height);
  if (codes instanceof Float32Array) halveMeans(codes, width, { ...size, means });
  else halveCodes(codes, width, { ...size, means });
  return { ...size, codes: means };
}

interface Halved {
  readonly width: number;
  readonly height: number;
  readonly means: Float32Array;
}

// The same loop twice: one that saw both kinds of array would run four times as slow.

function halveCodes(codes: Uint8Array | Uint16Array, stride: number, { width, height, means }: Halved): void {
  for (let y = 0, to = 0; y < height; y++) {
    let at = 2 * y * stride;
    for (const end = to + width; to < end; to++, at += 2)
      means[to] = (codes[at]! + codes[at + 1]! + codes[at + stride]! + codes[at + stride + 1]!) / 4;
  }
}

function halveMeans(codes: Float32Array, stride: number, { width, height, means }: Halved): void {
  for (let y = 0, to = 0; y < height; y++) {
    let at = 2 * y * stride;
    for (const end = to + width; to < end; to++, at += 2)
      means[to] = (codes[at]! + codes[at + 1]! + codes[at + stride]! + codes[at + stride + 1]!) / 4;
  }
}
