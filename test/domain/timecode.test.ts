import fc from 'fast-check';
import { expect, test } from 'vitest';
import { frameOfTimecode, timecodeOfFrame } from '../../src/domain/timecode.ts';

const rate30 = { numerator: 30000, denominator: 1001 };
const rate60 = { numerator: 60000, denominator: 1001 };

// SMPTE ST 12-1 counts: 2 589 408 frames a day at 30000/1001, 5 178 816 at 60000/1001.
test.each([
  [rate30, 2_589_408],
  [rate60, 5_178_816],
])('drop-frame labels lead back to their frames all day', (frameRate, framesPerDay) => {
  let previous = '';
  let wrong = 0;
  for (let frameIndex = 0; frameIndex < framesPerDay; frameIndex += 7) {
    const timecode = timecodeOfFrame({ frameIndex, frameRate, dropFrame: true }) ?? '';
    if (timecode <= previous || frameOfTimecode({ timecode, frameRate }) !== frameIndex) wrong += 1;
    previous = timecode;
  }
  expect(wrong).toBe(0);
  expect(timecodeOfFrame({ frameIndex: framesPerDay, frameRate, dropFrame: true })).toBe('00:00:00;00');
});

// Published successors: davidheidelberger.com for the first; eoyilmaz/timecode tests for the others.
test.each([
  ['12:38:59;29', '12:39:00;02', rate30],
  ['13:36:59;29', '13:37:00;02', rate30],
  ['13:39:59;29', '13:40:00;00', rate30],
  ['13:36:59;59', '13:37:00;04', rate60],
])('%s is followed by %s', (timecode, next, frameRate) => {
  const frameIndex = frameOfTimecode({ timecode, frameRate }) ?? Number.NaN;
  expect(timecodeOfFrame({ frameIndex: frameIndex + 1, frameRate, dropFrame: true })).toBe(next);
});

test('non-drop labels lead back to their frames', () => {
  const rates = fc.constantFrom(
    { numerator: 24000, denominator: 1001 },
    { numerator: 25, denominator: 1 },
    rate30,
    rate60,
  );
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 24 * 3600 * 24 - 1 }), rates, (frameIndex, frameRate) => {
      const timecode = timecodeOfFrame({ frameIndex, frameRate, dropFrame: false }) ?? '';
      expect(frameOfTimecode({ timecode, frameRate })).toBe(frameIndex);
    }),
  );
});

// SMPTE ST 12-1 does not define drop-frame for 24000/1001 (from memory); whole rates need none.
test.each([
  { numerator: 24000, denominator: 1001 },
  { numerator: 30, denominator: 1 },
  { numerator: 25, denominator: 1 },
])('drop-frame is refused at %o', (frameRate) => {
  expect(timecodeOfFrame({ frameIndex: 0, frameRate, dropFrame: true })).toBeUndefined();
  expect(frameOfTimecode({ timecode: '00:00:01;00', frameRate })).toBeUndefined();
});

test.each([
  '00:01:00;00',
  '00:01:00;01',
  '00:59:00;01',
  '24:00:00;00',
  '00:60:00;02',
  '00:00:60;02',
  '00:00:00;30',
  '1:2:3:4',
  '',
  '00:00:00.00',
])('"%s" is no label at 29.97', (timecode) => {
  expect(frameOfTimecode({ timecode, frameRate: rate30 })).toBeUndefined();
});
