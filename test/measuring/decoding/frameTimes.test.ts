import { expect, test } from 'vitest';
import { planTimes } from '../../../src/measuring/decoding/frameTimes.ts';

// What two versions of ffmpeg print of one file that holds no picture that can be decoded.
const printed = {
  '5.1':
    'Cannot determine format of input stream 0:0 after EOF\nError marking filters as finished\nConversion failed!\n',
  '7.1': `Cannot determine format of input 0:0 after EOF
[vf#0:0 @ 0x555565a4f380] Task finished with error code: -1094995529 (Invalid data found when processing input)
[vf#0:0 @ 0x555565a4f380] Terminating thread with return code -1094995529 (Invalid data found when processing input)
[vost#0:0/rawvideo @ 0x555565a4d840] Could not open encoder before EOF
[vost#0:0/rawvideo @ 0x555565a4d840] Task finished with error code: -22 (Invalid argument)
[vost#0:0/rawvideo @ 0x555565a4d840] Terminating thread with return code -22 (Invalid argument)
[out#0/rawvideo @ 0x555565a4d480] Nothing was written into output file, because at least one of its streams received no packets.
`,
};

test.each(Object.entries(printed))('ffmpeg %s: the complaint is what went wrong first', (_, text) => {
  const times = planTimes(0, 'decoded');
  // In pieces, as it comes through a pipe.
  for (let at = 0; at < text.length; at += 50) times.read(Buffer.from(text.slice(at, at + 50)));
  times.read(undefined);
  expect(times.tally().complaint).toMatch(/^Cannot determine format of input/);
});
