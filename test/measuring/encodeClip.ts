import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { Facts, FactValues } from '../../src/domain/recording.ts';
import { locateAll } from '../../src/programs/locate.ts';
import type { Program } from '../../src/programs/run.ts';
import { onTestFinished } from 'vitest';
import { renderMedia } from '../renderMedia.ts';

/** 4:2:0 planes in one array: luma, Cb, Cr. */
export type RawFrame = Uint8Array | Uint16Array;

export interface RawShape {
  readonly width: number;
  readonly height: number;
  readonly bitDepth: 8 | 10;
}

export function blankFrame({ width, height, bitDepth }: RawShape, luma: number): RawFrame {
  const chroma = Math.ceil(width / 2) * Math.ceil(height / 2);
  const length = width * height + 2 * chroma;
  const frame = bitDepth === 8 ? new Uint8Array(length) : new Uint16Array(length);
  frame.fill(luma, 0, width * height);
  frame.fill(2 ** (bitDepth - 1), width * height);
  return frame;
}

export interface EncodeOptions {
  readonly framesPerSecond?: number;
  readonly range?: 'tv' | 'pc';
  readonly codec?: readonly string[];
  readonly extension?: string;
}

const lossless = ['-c:v', 'ffv1', '-g', '1'];
export const losslessH264 = ['-c:v', 'libx264', '-qp', '0', '-preset', 'ultrafast'];

/** Encodes frames with ffmpeg into a folder that goes away with the test. */
export async function encodeClip(
  shape: RawShape,
  frames: Iterable<RawFrame>,
  { framesPerSecond = 25, range = 'tv', codec = lossless, extension = 'mkv' }: EncodeOptions = {},
): Promise<string> {
  const file = path.join(temporaryFolder(), `clip.${extension}`);
  const pixelFormat = shape.bitDepth === 10 ? 'yuv420p10le' : 'yuv420p';
  const input = ['-f', 'rawvideo', '-pix_fmt', pixelFormat, '-s', `${shape.width}x${shape.height}`];
  const output = ['-color_range', range, '-pix_fmt', pixelFormat, file];
  const raw = Array.from(frames, (frame) =>
    Buffer.from(frame.buffer.slice(frame.byteOffset, frame.byteOffset + frame.byteLength)),
  );
  const rate = ['-color_range', range, '-r', String(framesPerSecond), '-i', 'pipe:0'];
  renderMedia([...input, ...rate, ...codec, ...output], Buffer.concat(raw));
  return file;
}

export function temporaryFolder(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-measuring-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Every ffmpeg that Halfturn could choose here: the system's, and the old one that the optional package carries. */
export async function ffmpegs(): Promise<readonly Program[]> {
  return (await locateAll()).flatMap(({ name, origin, path: at, age }) =>
    name === 'ffmpeg' && at !== undefined && age !== undefined
      ? [
          {
            name,
            origin,
            path: at,
            version: age.version,
            libavcodecMajor: age.libavcodec === undefined ? undefined : age.libavcodec[0],
          },
        ]
      : [],
  );
}

/** As a camera exposed it: by its few colours alone a test picture is a drawing. */
export const exposed = { exposureSeconds: 1 / 100 };

export function factsOf(values: Partial<FactValues>): Facts {
  return Object.fromEntries(
    Object.entries(values).map(([name, value]) => [name, { value, source: 'test' }]),
  ) as Facts;
}

export function runFfmpeg(...args: string[]): string {
  return renderMedia(args);
}
