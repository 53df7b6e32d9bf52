import { spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { findFfmpeg, runFfmpeg, X264 } from '../encode.ts';
import type { BlurCase, Compression } from './blurCase.ts';

type Codes = Uint8Array | Uint16Array;

/** The frames after a journey through the encoder and back; as they are where no compression is asked for. */
export async function throughCodec(blur: BlurCase, frames: readonly Codes[]): Promise<readonly Codes[]> {
  if (blur.compression === undefined) return frames;
  const folder = await mkdtemp(path.join(tmpdir(), 'blur-'));
  const file = path.join(folder, 'clip.mp4');
  const pixels = blur.bitDepth === 8 ? 'yuv420p' : 'yuv420p10le';
  try {
    const ffmpeg = await findFfmpeg();
    const input = [
      '-f',
      'rawvideo',
      '-pix_fmt',
      pixels,
      '-s',
      `${blur.width}x${blur.height}`,
      '-r',
      '30',
      '-i',
      'pipe:0',
    ];
    await runFfmpeg(
      ffmpeg,
      [...input, ...encoder(blur.compression), '-pix_fmt', pixels, file],
      withGreyChroma(blur, frames),
    );
    return await decode(ffmpeg, file, blur);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

function encoder({ codec, megabitsPerSecond }: Compression): readonly string[] {
  const rate = ['-b:v', `${megabitsPerSecond}M`, '-g', '15', '-bf', '0', '-threads', '1'];
  if (codec === 'h265')
    return [
      '-c:v',
      'libx265',
      '-preset',
      'superfast',
      '-x265-params',
      'log-level=error:pools=1:frame-threads=1',
      ...rate,
    ];
  const bound = ['-maxrate', `${megabitsPerSecond * 1.5}M`, '-bufsize', `${megabitsPerSecond}M`];
  return [...X264, '-preset', 'veryfast', ...rate, ...bound];
}

function* withGreyChroma({ bitDepth }: BlurCase, frames: readonly Codes[]): Generator<Uint8Array> {
  for (const frame of frames) {
    yield new Uint8Array(frame.buffer, frame.byteOffset, frame.byteLength);
    const chroma = new (bitDepth === 8 ? Uint8Array : Uint16Array)(frame.length / 2).fill(
      128 * 2 ** (bitDepth - 8),
    );
    yield new Uint8Array(chroma.buffer);
  }
}

async function decode(ffmpeg: string, file: string, blur: BlurCase): Promise<readonly Codes[]> {
  const pixels = blur.bitDepth === 8 ? 'gray' : 'gray10le';
  const options = [
    '-v',
    'error',
    '-threads',
    '1',
    '-i',
    file,
    '-vf',
    'extractplanes=y',
    '-f',
    'rawvideo',
    '-pix_fmt',
    pixels,
  ];
  const child = spawn(ffmpeg, [...options, 'pipe:1'], { stdio: ['ignore', 'pipe', 'inherit'] });
  const parts: Buffer[] = [];
  for await (const part of child.stdout) parts.push(part as Buffer);
  const bytes = Buffer.concat(parts);
  const length = blur.width * blur.height * (blur.bitDepth === 8 ? 1 : 2);
  return Array.from({ length: Math.floor(bytes.length / length) }, (_, i) => {
    const frame = new Uint8Array(bytes.subarray(i * length, (i + 1) * length));
    return blur.bitDepth === 8 ? frame : new Uint16Array(frame.buffer);
  });
}
