import fc from 'fast-check';

/** One of the byte strings with up to eight bytes overwritten and possibly its end cut off. */
export function mutated(...originals: readonly Buffer[]): fc.Arbitrary<Buffer> {
  return fc
    .record({
      original: fc.constantFrom(...originals),
      changes: fc.array(fc.record({ at: fc.nat(), value: fc.nat(255) }), { maxLength: 8 }),
      keep: fc.double({ min: 0, max: 1, noNaN: true }),
      cut: fc.boolean(),
    })
    .map(({ original, changes, keep, cut }) => {
      const bytes = Buffer.from(original);
      for (const { at, value } of changes) bytes[at % bytes.length] = value;
      return cut ? bytes.subarray(0, Math.floor(bytes.length * keep)) : bytes;
    });
}
