import { expect, test } from 'vitest';
import { freeAtOnce } from '../../src/measuring/freeAtOnce.ts';

test('memory is free as soon as it is said, not when the collector comes', () => {
  const bytes = new Uint8Array(64 << 20);
  const before = process.memoryUsage().arrayBuffers;
  freeAtOnce(bytes);
  expect(before - process.memoryUsage().arrayBuffers).toBeGreaterThan(60 << 20);
  expect(bytes.length).toBe(0);
});

test('a part of something larger is left alone', () => {
  const whole = Uint8Array.of(1, 2, 3, 4);
  freeAtOnce(whole.subarray(1, 3));
  expect(whole).toEqual(Uint8Array.of(1, 2, 3, 4));
});
