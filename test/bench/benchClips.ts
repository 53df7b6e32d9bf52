import { spawnSync } from 'node:child_process';
import { existsSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { randomNumbers } from '../measuring/texture.ts';

interface Coding {
  readonly size: `${number}:${number}`;
  /** Encoding is slow; longer clips repeat these seconds. */
  readonly encodedSeconds: number;
  readonly encoder: readonly string[];
  /** 8 where nothing is said. */
  readonly bitDepth?: 10;
}

// Small drones write 4K at 60 to 150 Mbit/s (common practice, no source).
const asCamerasWrite = ['-b:v', '100M', '-maxrate', '110M', '-bufsize', '100M'];
const h264 = ['-c:v', 'libx264', '-preset', 'veryfast', '-g', '25', '-bf', '2'];
const hevc = [
  '-c:v',
  'libx265',
  '-x265-params',
  'log-level=error:keyint=25:bframes=2',
  '-preset',
  'ultrafast',
  '-tag:v',
  'hvc1',
];
const uhd = '3840:2160';
/** The last two at a fraction of what cameras write, where decoding costs least beside all else. */
const codings = {
  h264: { size: uhd, encodedSeconds: 7, encoder: [...h264, ...asCamerasWrite] },
  'hevc of 10 bits': { size: uhd, encodedSeconds: 7, encoder: [...hevc, ...asCamerasWrite], bitDepth: 10 },
  hd: { size: '1920:1080', encodedSeconds: 7, encoder: [...h264, '-crf', '21'] },
  small: { size: '320:180', encodedSeconds: 5, encoder: [...h264, '-crf', '21'] },
} satisfies Readonly<Record<string, Coding>>;

export type BenchCodec = keyof typeof codings;

/**
 * `bright`: a slow pan over soft ground, a tenth of the picture a sky at the peak. `faint`: the same with about a
 * hundredth. `well`: the same with half of the light: nothing reaches the peak. `swept`: 12 pixels a frame over ground with
 * fine detail, the shutter open for half of each frame.
 */
type View = 'bright' | 'faint' | 'well' | 'swept';

/** An encoder spends up to four times as much on its very first picture as a camera does on any: it is left out. */
const startingSeconds = 1;

export interface Clip {
  readonly codec: BenchCodec;
  readonly seconds: number;
  readonly view: View;
}

/** A pan over ground with detail at every size, a sky above and noise over all, at 25 frames/s; `folder` keeps what was encoded. */
export function makeClip(folder: string, { codec, seconds, view }: Clip, file: string): void {
  const name = `${codec.replaceAll(' ', '-')}-${view}`;
  const base = path.join(folder, `${name}.mp4`);
  const { size, encodedSeconds, encoder, bitDepth }: Coding = codings[codec];
  const { perFrame, moves, mixed } = pans[view === 'swept' || view === 'faint' ? view : 'slow'];
  const pixels = bitDepth === 10 ? 'yuv420p10le' : 'yuv420p';
  if (!existsSync(base)) {
    const encoded = path.join(folder, `${name}-encoded.mp4`);
    const pan = `scale=in_range=full:out_range=full,crop=${size}:${moves},format=${pixels}${mixed},noise=alls=4:allf=t`;
    // From ffmpeg 7 on the frames say it, before that the options of the output.
    const said = 'setparams=range=tv:color_trc=bt709:colorspace=bt709';
    const still = [
      '-loop',
      '1',
      '-framerate',
      String(25 * perFrame),
      '-t',
      String(startingSeconds + encodedSeconds),
      '-i',
      groundPicture(folder, view),
    ];
    run([
      ...still,
      '-vf',
      `${pan},${said}`,
      '-color_range',
      'tv',
      '-colorspace',
      'bt709',
      '-color_trc',
      'bt709',
      '-r',
      '25',
      ...encoder,
      encoded,
    ]);
    run(['-ss', String(startingSeconds), '-i', encoded, '-c', 'copy', base]);
    rmSync(encoded);
  }
  const repeats = Math.ceil(seconds / encodedSeconds) - 1;
  run(['-stream_loop', String(repeats), '-i', base, '-c', 'copy', '-t', String(seconds), file]);
}

/** An open shutter is the mean of what it saw: of eight moments in a frame the first four. */
const pans = {
  slow: { perFrame: 1, moves: "x='n*2':y='20+10*sin(n/20)'", mixed: '' },
  faint: { perFrame: 1, moves: "x='n*2':y=228", mixed: '' },
  swept: { perFrame: 8, moves: "x='n*1.5':y=20", mixed: ',tmix=frames=4,framestep=8' },
} as const;

function run(args: readonly string[]): void {
  const { status, stderr } = spawnSync('ffmpeg', ['-v', 'error', '-y', ...args], { encoding: 'utf8' });
  if (status !== 0) throw new Error(stderr);
}

/** Room for seven seconds of the faster pan. */
const width = 6000;
const height = 2400;
/** Strength of the coarsest detail, and what is left of it at each halving of the size. */
const detail = {
  bright: { amplitude: 90, kept: 0.62, sky: 0.4 },
  well: { amplitude: 50, kept: 0.62, sky: 0.1 },
  swept: { amplitude: 60, kept: 0.86, sky: 0.4 },
} as const;

export function groundPicture(folder: string, view: View): string {
  const file = path.join(folder, `ground-${view}.pgm`);
  if (existsSync(file)) return file;
  const random = randomNumbers(7);
  const sum = new Float32Array(width * height);
  const { kept, sky, amplitude: coarsest } = detail[view === 'faint' ? 'bright' : view];
  for (let cell = 512, amplitude: number = coarsest; cell >= 2; cell /= 2, amplitude *= kept)
    addOctave(sum, { cell, amplitude, random });
  const codes = Buffer.alloc(sum.length);
  for (let i = 0; i < codes.length; i++) {
    const above = Math.max(0, 500 - Math.floor(i / width)) * sky;
    codes[i] = Math.max(16, Math.min(235, 118 + sum[i]! + above));
  }
  writeFileSync(file, Buffer.concat([Buffer.from(`P5\n${width} ${height}\n255\n`), codes]));
  return file;
}

interface Octave {
  readonly cell: number;
  readonly amplitude: number;
  readonly random: () => number;
}

function addOctave(sum: Float32Array, { cell, amplitude, random }: Octave): void {
  const columns = Math.ceil(width / cell) + 2;
  const grid = Float32Array.from({ length: columns * (Math.ceil(height / cell) + 2) }, () => random() - 0.5);
  for (let y = 0, i = 0; y < height; y++) {
    const fy = (y / cell) % 1;
    for (let x = 0; x < width; x++, i++) {
      const fx = (x / cell) % 1;
      const at = Math.floor(y / cell) * columns + Math.floor(x / cell);
      const above = grid[at]! * (1 - fx) + grid[at + 1]! * fx;
      const below = grid[at + columns]! * (1 - fx) + grid[at + columns + 1]! * fx;
      sum[i]! += amplitude * (above * (1 - fy) + below * fy);
    }
  }
}
