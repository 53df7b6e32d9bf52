import { expect, test } from 'vitest';
import { compareAge, parseVersion } from '../../src/programs/programVersion.ts';

// First lines and library lines in the form that released and snapshot builds print.
function answer(version: string, year: number, codec: string): string {
  return `ffmpeg version ${version} Copyright (c) 2000-${year} the FFmpeg developers\nlibavcodec     ${codec} / ${codec}\n`;
}
const release = parseVersion(answer('5.1.9-0+deb12u1', 2026, '59. 37.100'))!;
const oldRelease = parseVersion(answer('4.1.3', 2019, '58. 35.100'))!;
const snapshot2018 = parseVersion(answer('N-47683-g0e8eb07980-static', 2018, '58. 42.100'))!;
const snapshot2023 = parseVersion(answer('N-66595-gc2b38619c0-static', 2023, '60. 22.100'))!;

test('parseVersion() reads a release and a snapshot', () => {
  expect(release).toEqual({ version: '5.1.9', year: 2026, libavcodec: [59, 37] });
  expect(snapshot2018).toEqual({ version: 'N-47683-g0e8eb07980-static', year: 2018, libavcodec: [58, 42] });
});

test('parseVersion() does not take another program for ffmpeg', () => {
  expect(parseVersion('bash version 5.2\nlibavcodec 1. 2.3 / 1. 2.3')).toBeUndefined();
});

test('a release that is maintained is newer than an abandoned snapshot with newer libraries', () => {
  expect(compareAge(release, snapshot2023)).toBeGreaterThan(0);
});

test('a release of 2019 is newer than a snapshot of 2018 and older than one of 2023', () => {
  expect(compareAge(oldRelease, snapshot2018)).toBeGreaterThan(0);
  expect(compareAge(oldRelease, snapshot2023)).toBeLessThan(0);
});

test('within a year the codec library decides', () => {
  const newer = parseVersion(answer('6.1', 2023, '60. 31.102'))!;
  expect(compareAge(newer, snapshot2023)).toBeGreaterThan(0);
  expect(compareAge(snapshot2023, newer)).toBeLessThan(0);
});
