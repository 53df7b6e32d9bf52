import { expect, it } from 'vitest';
import { progressLine } from '../../src/cli/progress.ts';

it('progressLine() gives no time left before the pace is known', () => {
  expect(progressLine({ done: 2, total: 40, path: 'A.MP4' }, 20)).toBe('2 of 40 recordings · A.MP4');
});

it('progressLine() tells minutes where seconds would be too many', () => {
  // 10 done in 200 s, 40 left at 20 s each: 800 s, 13 minutes.
  expect(progressLine({ done: 10, total: 50, path: 'A.MP4' }, 200)).toContain('about 13 min left');
});
