/** A square complex picture of 2^k × 2^k values, transformed in place. */
export interface FourierPlan {
  readonly size: number;
  /** `direction` 1: forward (e^-i); -1: backward (e^+i), not scaled. */
  readonly transform: (real: Float64Array, imaginary: Float64Array, direction: 1 | -1) => void;
}

// Cooley and Tukey, Mathematics of Computation 19 (1965), radix 2, rows and then columns. Written here because
// the tiles are small and of few sizes, and the packages that do it are not kept up.

/** Prepares the two-dimensional Fourier transform of tiles of one size, which must be a power of two. */
export function planFourier(size: number): FourierPlan {
  const swaps = bitReversalSwaps(size);
  const cosines = Float64Array.from({ length: size / 2 }, (_, k) => Math.cos((2 * Math.PI * k) / size));
  const sines = Float64Array.from({ length: size / 2 }, (_, k) => Math.sin((2 * Math.PI * k) / size));

  const alongRow = (re: Float64Array, im: Float64Array, start: number, direction: 1 | -1): void => {
    for (let s = 0; s < swaps.length; s += 2) {
      const i = start + swaps[s]!;
      const j = start + swaps[s + 1]!;
      const r = re[i]!;
      const m = im[i]!;
      re[i] = re[j]!;
      im[i] = im[j]!;
      re[j] = r;
      im[j] = m;
    }
    for (let half = 1; half < size; half <<= 1) {
      const stride = size / (half * 2);
      for (let block = start; block < start + size; block += half * 2) {
        const opposite = block + half;
        const first = re[opposite]!;
        const second = im[opposite]!;
        re[opposite] = re[block]! - first;
        im[opposite] = im[block]! - second;
        re[block] = re[block]! + first;
        im[block] = im[block]! + second;
        for (let k = 1; k < half; k++) {
          const cos = cosines[k * stride]!;
          const sin = -direction * sines[k * stride]!;
          const a = block + k;
          const b = a + half;
          const r = re[b]! * cos - im[b]! * sin;
          const m = re[b]! * sin + im[b]! * cos;
          re[b] = re[a]! - r;
          im[b] = im[a]! - m;
          re[a] = re[a]! + r;
          im[a] = im[a]! + m;
        }
      }
    }
  };

  // All columns at once, a row of butterflies after the other: memory is walked in its own order.
  const downColumns = (re: Float64Array, im: Float64Array, direction: 1 | -1): void => {
    for (let s = 0; s < swaps.length; s += 2)
      for (let x = 0, i = swaps[s]! * size, j = swaps[s + 1]! * size; x < size; x++, i++, j++) {
        const r = re[i]!;
        const m = im[i]!;
        re[i] = re[j]!;
        im[i] = im[j]!;
        re[j] = r;
        im[j] = m;
      }
    for (let half = 1; half < size; half <<= 1) {
      const stride = size / (half * 2);
      for (let block = 0; block < size; block += half * 2) {
        for (let k = 0; k < half; k++) {
          const cos = cosines[k * stride]!;
          const sin = -direction * sines[k * stride]!;
          const end = (block + k + 1) * size;
          for (let a = end - size, b = a + half * size; a < end; a++, b++) {
            const r = re[b]! * cos - im[b]! * sin;
            const m = re[b]! * sin + im[b]! * cos;
            re[b] = re[a]! - r;
            im[b] = im[a]! - m;
            re[a] = re[a]! + r;
            im[a] = im[a]! + m;
          }
        }
      }
    }
  };

  return {
    size,
    transform: (real, imaginary, direction) => {
      for (let row = 0; row < size; row++) alongRow(real, imaginary, row * size, direction);
      downColumns(real, imaginary, direction);
    },
  };
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
