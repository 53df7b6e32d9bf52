import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { accessSync, constants } from 'node:fs';
import { open } from 'node:fs/promises';
import { delimiter, join } from 'node:path';
import type { ClipPlan, Encoding } from './plan.ts';

/** ffmpeg of the system, else the binary that the optional package carries (a build of 2018: keep to old options). */
export async function findFfmpeg(): Promise<string> {
  for (const folder of (process.env['PATH'] ?? '').split(delimiter)) {
    const candidate = join(folder, process.platform === 'win32' ? 'ffmpeg.exe' : 'ffmpeg');
    if (isExecutable(candidate)) return candidate;
  }
  const installer = await import('@ffmpeg-installer/ffmpeg');
  return installer.default.path;
}

function isExecutable(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

const REC709_TAGS = ['-color_primaries', 'bt709', '-color_trc', 'bt709', '-colorspace', 'bt709'];
const HLG_TAGS = ['-color_primaries', 'bt2020', '-color_trc', 'arib-std-b67', '-colorspace', 'bt2020nc'];
/** x264 decides otherwise on processors with AVX. With what every x86-64 processor has, its bytes are the same anywhere. */
export const X264 = ['-c:v', 'libx264', '-x264-params', 'asm=sse2'];
/** Cameras put a key frame into every half second or second (common practice, no source). */
export const KEY_FRAMES = ['-g', '25', '-sc_threshold', '0'];
const H264 = [...X264, ...KEY_FRAMES, '-preset', 'fast', '-crf', '15', '-threads', '2', '-tag:v', 'avc1'];
// One pool, one frame thread: the bytes must not depend on the machine's cores.
const X265 = 'log-level=error:pools=1:frame-threads=1:keyint=25:scenecut=0';
const HEVC = [
  '-c:v',
  'libx265',
  '-preset',
  'superfast',
  '-crf',
  '15',
  '-x265-params',
  X265,
  '-tag:v',
  'hvc1',
];

interface Encoder {
  readonly pixels: string;
  /** Said of the frames that go in and of the file: ffmpeg before 7 writes the latter, later ones the former. */
  readonly colour: readonly string[];
  readonly options: readonly string[];
}

const ENCODERS: Readonly<Record<Encoding, Encoder>> = {
  h264: { pixels: 'yuv420p', colour: [...REC709_TAGS, '-color_range', 'tv'], options: H264 },
  'h264-full-range': { pixels: 'yuvj420p', colour: [...REC709_TAGS, '-color_range', 'pc'], options: H264 },
  'hevc-10': { pixels: 'yuv420p10le', colour: [...REC709_TAGS, '-color_range', 'tv'], options: HEVC },
  'hevc-10-hlg': { pixels: 'yuv420p10le', colour: [...HLG_TAGS, '-color_range', 'tv'], options: HEVC },
};

/** The end of a chain of filters, whose frames are to say it too. */
export const REC709_FRAMES = 'setparams=color_primaries=bt709:color_trc=bt709';

/** Nothing in the file may tell which ffmpeg made it, or when. */
export const EXACT = ['-map_metadata', '-1', '-fflags', '+bitexact', '-flags:v', '+bitexact'];

export interface EncodeJob {
  readonly ffmpeg: string;
  readonly plan: ClipPlan;
  readonly output: string;
  /** A SubRip file to be carried as a text track. */
  readonly textTrack: string | undefined;
}

export async function encodeClip(job: EncodeJob, frames: Iterable<Uint8Array>): Promise<void> {
  const { plan, textTrack } = job;
  const { pixels, colour, options } = ENCODERS[plan.encoding];
  const size = `${plan.width}x${plan.height}`;
  const raw = ['-f', 'rawvideo', '-pix_fmt', pixels, '-s', size, '-framerate', plan.rate];
  const input = [...raw, ...colour, '-i', 'pipe:0'];
  const text = textTrack === undefined ? [] : ['-i', `file:${textTrack}`];
  const maps = textTrack === undefined ? ['-map', '0:v'] : ['-map', '0:v', '-map', '1:s', '-c:s', 'mov_text'];
  const output = [
    ...EXACT,
    '-metadata',
    `creation_time=${plan.recordedAt}`,
    '-movflags',
    '+write_colr',
    `file:${job.output}`,
  ];
  await runFfmpeg(
    job.ffmpeg,
    [...input, ...text, ...maps, ...options, ...colour, '-pix_fmt', pixels, ...output],
    frames,
  );
  if (plan.rotationDegrees === 90) await turnClockwise(job.output, plan.height);
}

export async function runFfmpeg(
  ffmpeg: string,
  options: readonly string[],
  input: Iterable<Uint8Array> = [],
) {
  const child = spawn(ffmpeg, ['-v', 'error', '-y', ...options], { stdio: ['pipe', 'ignore', 'pipe'] });
  const ended = once(child, 'close');
  let complaints = '';
  child.stderr.on('data', (text: Buffer) => (complaints += text.toString()));
  child.stdin.on('error', () => undefined); // an early end shows in the exit status
  for (const frame of input) {
    if (child.exitCode !== null) break;
    if (!child.stdin.write(frame)) await Promise.race([once(child.stdin, 'drain'), ended]);
  }
  child.stdin.end();
  const [status] = await ended;
  if (status !== 0) throw new Error(`ffmpeg ended with ${String(status)}: ${complaints.trim()}`);
}

/**
 * Writes the display matrix for a clockwise quarter turn into the track header (ISO/IEC 14496-12, 8.3.2),
 * because the ffmpeg versions disagree about how to ask for it.
 */
async function turnClockwise(file: string, storedHeight: number): Promise<void> {
  const handle = await open(file, 'r+');
  try {
    const bytes = await handle.readFile();
    const header = bytes.lastIndexOf('tkhd');
    const matrix = Buffer.alloc(36);
    [0, 1 << 16, 0, -(1 << 16), 0, 0, storedHeight << 16, 0, 1 << 30].forEach((value, index) => {
      matrix.writeInt32BE(value, index * 4);
    });
    await handle.write(matrix, 0, 36, header + 4 + 40);
  } finally {
    await handle.close();
  }
}
