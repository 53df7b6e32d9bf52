import { expect, test } from 'vitest';
import { borrowMemory, dropSpareMemory, returnMemory } from '../../../src/measuring/decoding/spareMemory.ts';

test('memory that is handed back goes to the next of its size', () => {
  const memory = borrowMemory(1234);
  returnMemory(memory);
  expect(borrowMemory(1235)).not.toBe(memory);
  expect(borrowMemory(1234)).toBe(memory);
  expect(borrowMemory(1234)).not.toBe(memory);
});

test('what is spare is let go of when it is said', () => {
  const memory = borrowMemory(4321);
  returnMemory(memory);
  dropSpareMemory();
  expect(borrowMemory(4321)).not.toBe(memory);
});
