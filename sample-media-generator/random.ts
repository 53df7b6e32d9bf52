/** Evenly spread number in [0, 1) for a lattice point: the same point and seed always give the same number. */
export function lattice(x: number, y: number, seed: number): number {
  let mixed = (Math.imul(x, 374761393) + Math.imul(y, 668265263) + Math.imul(seed, 1442695041)) | 0;
  mixed = Math.imul(mixed ^ (mixed >>> 13), 1274126177);
  mixed = Math.imul(mixed ^ (mixed >>> 16), 2246822519);
  return ((mixed ^ (mixed >>> 15)) >>> 0) / 4294967296;
}

/** Smooth value noise in [0, 1), one bump per unit of x and y. */
export function noise(x: number, y: number, seed: number): number {
  const left = Math.floor(x);
  const top = Math.floor(y);
  const u = smooth(x - left);
  const v = smooth(y - top);
  const above = lattice(left, top, seed) * (1 - u) + lattice(left + 1, top, seed) * u;
  const below = lattice(left, top + 1, seed) * (1 - u) + lattice(left + 1, top + 1, seed) * u;
  return above * (1 - v) + below * v;
}

/** Octaves of noise, each twice as fine and half as strong; in [0, 1). */
export function layeredNoise(x: number, y: number, seed: number, octaves: number): number {
  let sum = 0;
  let weight = 0.5;
  let scale = 1;
  for (let octave = 0; octave < octaves; octave++) {
    sum += weight * noise(x * scale, y * scale, seed + octave);
    weight /= 2;
    scale *= 2.03;
  }
  return sum / (1 - 2 * weight);
}

/** A seeded stream of numbers in [0, 1). */
export function randomStream(seed: number): () => number {
  let index = 0;
  return () => lattice(index++, 7919, seed);
}

function smooth(t: number): number {
  return t * t * (3 - 2 * t);
}
