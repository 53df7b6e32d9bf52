import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { decodeArguments } from '../../src/programs/decodeArguments.ts';
import { locatePrograms } from '../../src/programs/locate.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { mediaArgument, runProgram } from '../../src/programs/run.ts';
import { makeMedia, scratchFolder, testPicture } from '../reading/madeMedia.ts';

const folder = await scratchFolder();
afterAll(() => folder.remove());
const file = join(folder.path, 'clip.mp4');
beforeAll(() => makeMedia(...testPicture('25', 2), '-pix_fmt', 'yuv420p', file));

const program = { name: 'ffmpeg', path: '', version: '', origin: 'system', libavcodecMajor: 60 } as const;
const request = {
  input: 'file:x',
  filters: [],
  pixelFormat: 'gray',
  inputOptions: [],
  logLevel: 'error',
  program,
};
const follows = (args: readonly string[], name: string): string | undefined => args[args.indexOf(name) + 1];

test('decodeArguments() bounds what ffmpeg may open and never lets it ask', () => {
  const args = decodeArguments(request);
  expect(args).toContain('-nostdin');
  expect(follows(args, '-protocol_whitelist')).toBe('file,pipe');
  expect(args.indexOf('-protocol_whitelist')).toBeLessThan(args.indexOf('-i'));
  expect(args.at(-1)).toBe('pipe:1');
  expect(args).not.toContain('-filter:v');
});

test('decodeArguments() names the frame timing as the build at hand knows it', () => {
  expect(decodeArguments({ ...request, program: { ...program, libavcodecMajor: 58 } })).toContain('-vsync');
  expect(decodeArguments(request)).toContain('-fps_mode');
});

test('decodeArguments() keeps a filter with commas and quotes whole', () => {
  const filters = ["select='not(mod(n,5))'", 'scale=32:18'];
  expect(follows(decodeArguments({ ...request, filters }), '-filter:v')).toBe(
    "select='not(mod(n,5))',scale=32:18",
  );
});

test('ffmpeg understands the arguments and gives exactly the frames asked for', async () => {
  const { ffmpeg } = await locatePrograms();
  const media = await openMedia(file);
  const args = decodeArguments({
    ...request,
    input: mediaArgument(media),
    program: ffmpeg,
    startSeconds: 0.5,
    filters: ['scale=32:18'],
    frames: 3,
    pixelFormat: 'rgb24',
  });
  const run = await runProgram({
    program: ffmpeg,
    args,
    media,
    wallMs: 30_000,
    stdoutBytes: 1e6,
    stderrBytes: 4096,
  });
  await media.close();
  expect(run).toMatchObject({ stderr: '', exitCode: 0 });
  expect(run.stdout.length).toBe(3 * 32 * 18 * 3);
});
