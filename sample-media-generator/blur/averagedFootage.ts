import { spawn } from 'node:child_process';
import { findFfmpeg } from '../encode.ts';
import { bt709 } from '../transferCurves.ts';

export interface AveragedFootage {
  readonly width: number;
  readonly height: number;
  /** 10-bit narrow-range codes: averages keep more than 8 bits. */
  readonly frames: readonly Uint16Array[];
}

/**
 * Real motion with a known shutter: of every `every` frames of a fast clip the first `open` are averaged in light, which
 * is what a shutter open for that part of the longer frame time would have collected. The source's own exposure, up to
 * one of its frames, is left out of that share.
 */
export async function averageFrames(source: {
  readonly file: string;
  readonly width: number;
  readonly height: number;
  readonly every: number;
  readonly open: number;
  /** Of the frames of the source; all where left out. */
  readonly from?: number;
  readonly count?: number;
}): Promise<AveragedFootage> {
  const { width, height, every, open, from = 0, count = Infinity } = source;
  const length = width * height;
  const frames: Uint16Array[] = [];
  let light = new Float64Array(length);
  let index = -from;
  for await (const codes of lumaFrames(source.file, length)) {
    if (index < 0) {
      index++;
      continue;
    }
    if (index === count) break;
    const inside = index % every;
    if (inside < open) for (let i = 0; i < length; i++) light[i]! += lightOfCode[codes[i]!]!;
    if (inside === open - 1) {
      frames.push(Uint16Array.from(light, (sum) => Math.round((16 + 219 * bt709(sum / open)) * 4)));
      light = new Float64Array(length);
    }
    index++;
  }
  return { width, height, frames };
}

// ITU-R BT.709-6, item 1.2, inverted; narrow range.
const lightOfCode = Float64Array.from({ length: 256 }, (_, code) => {
  const signal = Math.min(1, Math.max(0, (code - 16) / 219));
  return signal < 0.081 ? signal / 4.5 : ((signal + 0.099) / 1.099) ** (1 / 0.45);
});

/** Luma of each frame, 8 bits a pixel. */
export async function* lumaFrames(file: string, length: number): AsyncGenerator<Uint8Array> {
  const options = [
    '-v',
    'error',
    '-i',
    file,
    '-vf',
    'extractplanes=y',
    '-f',
    'rawvideo',
    '-pix_fmt',
    'gray',
    'pipe:1',
  ];
  const child = spawn(await findFfmpeg(), options, { stdio: ['ignore', 'pipe', 'inherit'] });
  let rest = Buffer.alloc(0);
  for await (const part of child.stdout) {
    rest = Buffer.concat([rest, part as Buffer]);
    let at = 0;
    for (; at + length <= rest.length; at += length) yield rest.subarray(at, at + length);
    rest = rest.subarray(at);
  }
}
