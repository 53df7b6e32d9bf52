import { expect, test } from 'vitest';
import { markedShutterSeconds, nearestIsoMark, nearestShutterMark } from '../../src/domain/settingMarks.ts';

test('shutter times go from the longest to the shortest, each a mark', () => {
  expect(markedShutterSeconds.toSorted((a, b) => b - a)).toEqual(markedShutterSeconds);
  expect([1 / 48, 1 / 50, 1 / 60, 1 / 8000].every((mark) => markedShutterSeconds.includes(mark))).toBe(true);
});

test('the nearest mark is nearest in stops, and no video time for a still', () => {
  expect(nearestShutterMark(1 / 512)).toBe(1 / 500);
  expect(nearestShutterMark(1 / 480)).toBe(1 / 500);
  expect(nearestShutterMark(4.1)).toBe(4);
  expect(nearestShutterMark(1 / 100_000)).toBe(1 / 8000);
  expect(nearestIsoMark(141.4)).toBe(125);
  expect(nearestIsoMark(13_000)).toBe(12_800);
});
