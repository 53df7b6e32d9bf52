/** Luma codes of one picture, row by row. */
export interface Luma {
  readonly width: number;
  readonly height: number;
  readonly codes: Uint8Array | Uint16Array | Float32Array;
}

/** Averages blocks of `factor` × `factor` codes; what does not fill a block at the right or the bottom is left out. */
export function shrinkLuma(luma: Luma, factor: number): Luma {
  const { width, height, codes } = luma;
  if (factor === 1) return luma;
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
  const averages = new Float32Array(width * rows);
  for (let y = 0; y < 4 * rows; y++) {
    let at = y * stride;
    let to = (y >> 2) * width;
    for (const end = to + width; to < end; to++, at += 4)
      averages[to]! += (codes[at]! + codes[at + 1]! + codes[at + 2]! + codes[at + 3]!) / 16;
  }
  return { width, height: rows, codes: averages };
}

/** Averages blocks of 2 × 2 codes. */
function halveLuma({ width, height, codes }: Luma): Luma {
  const size = { width: width >> 1, height: height >> 1 };
  const half = { ...size, codes: new Float32Array(size.width * size.height) };
  if (codes instanceof Float32Array) halveMeans(codes, width, half);
  else halveCodes(codes, width, half);
  return half;
}

/** The same, rounded to whole codes: a quarter of the memory. Into an array from before where one is given. */
export function halveToCodes<Codes extends Uint8Array | Uint16Array>(
  { width: stride, height: rows, codes }: Luma & { readonly codes: Codes },
  into: Codes = codes.slice(0, (stride >> 1) * (rows >> 1)) as Codes,
): Luma & { readonly codes: Codes } {
  const [width, height] = [stride >> 1, rows >> 1];
  for (let y = 0, to = 0; y < height; y++) {
    let at = 2 * y * stride;
    for (const end = to + width; to < end; to++, at += 2)
      into[to] = (codes[at]! + codes[at + 1]! + codes[at + stride]! + codes[at + stride + 1]! + 2) >> 2;
  }
  return { width, height, codes: into };
}

// The same loop twice: one that saw both kinds of array would run four times as slow.

type Half = Luma & { readonly codes: Float32Array };

function halveCodes(
  codes: Uint8Array | Uint16Array,
  stride: number,
  { width, height, codes: into }: Half,
): void {
  for (let y = 0, to = 0; y < height; y++) {
    let at = 2 * y * stride;
    for (const end = to + width; to < end; to++, at += 2)
      into[to] = (codes[at]! + codes[at + 1]! + codes[at + stride]! + codes[at + stride + 1]!) / 4;
  }
}

function halveMeans(codes: Float32Array, stride: number, { width, height, codes: into }: Half): void {
  for (let y = 0, to = 0; y < height; y++) {
    let at = 2 * y * stride;
    for (const end = to + width; to < end; to++, at += 2)
      into[to] = (codes[at]! + codes[at + 1]! + codes[at + stride]! + codes[at + stride + 1]!) / 4;
  }
}
