interface Complex {
  readonly real: Float64Array;
  readonly imaginary: Float64Array;
}

// Cooley and Tukey, Mathematics of Computation 19 (1965): radix 4, and radix 2 once where the power of two is odd.
// Written here because the tiles are small and of few sizes, and the packages that do it are not kept up.

/** Prepares the transforms of square tiles of 2^k × 2^k values, k at least 1; row by row, rows as long as the tile. */
export function planFourier(size: number) {
  const table: Table = {
    size,
    swaps: bitReversalSwaps(size),
    cosines: Float64Array.from({ length: size }, (_, k) => Math.cos((2 * Math.PI * k) / size)),
    sines: Float64Array.from({ length: size }, (_, k) => -Math.sin((2 * Math.PI * k) / size)),
  };
  const mixed: Complex = { real: new Float64Array(size * size), imaginary: new Float64Array(size * size) };
  return {
    size,
    /** Forward (e^-i), of complex values, in place. */
    forward: (re: Float64Array, im: Float64Array): void => {
      downColumns(table, re, im, size);
      transpose(re, size);
      transpose(im, size);
      downColumns(table, re, im, size);
      transpose(re, size);
      transpose(im, size);
    },
    /**
     * Backward (e^+i), not scaled, of a spectrum whose picture is real. Of that only the columns 0 to size/2 are looked
     * at, and they are overwritten. Writes the picture's rows 0 to `reach` and the last `reach`, and no others.
     */
    backward: (spectrum: Complex, reach: number, picture: Float64Array): void => {
      // With real and imaginary parts exchanged before and after, forward is backward.
      downColumns(table, spectrum.imaginary, spectrum.real, size / 2 + 1);
      const rowAt = (at: number): number => ((at - reach + size) % size) * size;
      for (let at = 0; at <= reach; at++)
        mixRows(spectrum, { size, first: rowAt(2 * at), second: rowAt(2 * at + 1) }, mixed, at);
      downColumns(table, mixed.imaginary, mixed.real, reach + 1);
      for (let at = 0; at <= reach; at++)
        for (let x = 0; x < size; x++) {
          picture[rowAt(2 * at) + x] = mixed.real[x * size + at]!;
          // Beyond the last row asked for comes one that nobody asked for.
          if (at < reach) picture[rowAt(2 * at + 1) + x] = mixed.imaginary[x * size + at]!;
        }
    },
  };
}

interface Table {
  readonly size: number;
  readonly swaps: readonly number[];
  /** Of e^-i, one turn. */
  readonly cosines: Float64Array;
  readonly sines: Float64Array;
}

/** Two rows whose transforms are real, as one complex column: the first becomes its real part, the second the other. */
function mixRows(
  { real, imaginary }: Complex,
  { size, first, second }: { readonly size: number; readonly first: number; readonly second: number },
  into: Complex,
  column: number,
): void {
  for (let x = 0; x <= size / 2; x++) {
    const a = real[first + x]!;
    const b = imaginary[first + x]!;
    const c = real[second + x]!;
    const d = imaginary[second + x]!;
    into.real[x * size + column] = a - d;
    into.imaginary[x * size + column] = b + c;
    if (x === 0) continue;
    into.real[(size - x) * size + column] = a + d;
    into.imaginary[(size - x) * size + column] = c - b;
  }
}

/** Rows become columns. In squares of eight: a column of a whole picture does not fit the nearest cache. */
function transpose(values: Float64Array, size: number): void {
  const side = Math.min(8, size);
  for (let top = 0; top < size; top += side)
    for (let left = top; left < size; left += side)
      for (let y = top; y < top + side; y++)
        for (let x = left === top ? y + 1 : left; x < left + side; x++) {
          const value = values[y * size + x]!;
          values[y * size + x] = values[x * size + y]!;
          values[x * size + y] = value;
        }
}

// The first columns, all at once, a row of butterflies after the other: memory is walked in its own order.
function downColumns(
  { size, swaps, cosines, sines }: Table,
  re: Float64Array,
  im: Float64Array,
  columns: number,
): void {
  for (let s = 0; s < swaps.length; s += 2)
    for (let x = 0, i = swaps[s]! * size, j = swaps[s + 1]! * size; x < columns; x++, i++, j++) {
      const r = re[i]!;
      const m = im[i]!;
      re[i] = re[j]!;
      im[i] = im[j]!;
      re[j] = r;
      im[j] = m;
    }
  const first = firstQuarter(size);
  if (first === 2)
    for (let row = 0; row < size; row += 2)
      for (let a = row * size, b = a + size, end = a + columns; a < end; a++, b++) {
        const r = re[b]!;
        const m = im[b]!;
        re[b] = re[a]! - r;
        im[b] = im[a]! - m;
        re[a] = re[a]! + r;
        im[a] = im[a]! + m;
      }
  for (let quarter = first; quarter < size; quarter *= 4) {
    const stride = size / (quarter * 4);
    for (let block = 0; block < size; block += quarter * 4)
      for (let k = 0; k < quarter; k++) {
        const turn = k * stride;
        const [cos1, sin1] = [cosines[turn]!, sines[turn]!];
        const [cos2, sin2] = [cosines[2 * turn]!, sines[2 * turn]!];
        const [cos3, sin3] = [cosines[3 * turn]!, sines[3 * turn]!];
        const below = quarter * size;
        const from = (block + k) * size;
        for (let a = from; a < from + columns; a++) {
          const b = a + below;
          const c = b + below;
          const d = c + below;
          const br = re[b]! * cos2 - im[b]! * sin2;
          const bi = re[b]! * sin2 + im[b]! * cos2;
          const cr = re[c]! * cos1 - im[c]! * sin1;
          const ci = re[c]! * sin1 + im[c]! * cos1;
          const dr = re[d]! * cos3 - im[d]! * sin3;
          const di = re[d]! * sin3 + im[d]! * cos3;
          const evenR = re[a]! + br;
          const evenI = im[a]! + bi;
          const oddR = re[a]! - br;
          const oddI = im[a]! - bi;
          re[a] = evenR + (cr + dr);
          im[a] = evenI + (ci + di);
          re[c] = evenR - (cr + dr);
          im[c] = evenI - (ci + di);
          re[b] = oddR + (ci - di);
          im[b] = oddI - (cr - dr);
          re[d] = oddR - (ci - di);
          im[d] = oddI + (cr - dr);
        }
      }
  }
}

/** Quarter of the first butterflies of radix 4. */
function firstQuarter(size: number): 1 | 2 {
  return Math.log2(size) % 2 === 0 ? 1 : 2;
}

function bitReversalSwaps(size: number): readonly number[] {
  const bits = Math.log2(size);
  const swaps: number[] = [];
  for (let i = 0; i < size; i++) {
    let reversed = 0;
    for (let bit = 0; bit < bits; bit++) if ((i >> bit) & 1) reversed |= 1 << (bits - 1 - bit);
    if (reversed > i) swaps.push(i, reversed);
  }
  return swaps;
}
