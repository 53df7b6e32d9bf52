import { streamProgram } from '../../programs/run.ts';
import type { ProgramEnd } from '../../programs/run.ts';
import { isMp4OrMov } from '../../programs/openMedia.ts';
import { frameShape, pairShapeOf } from './frame.ts';
import type { Frame, FrameRequest, FrameShape } from './frame.ts';
import { feederArguments, frameArguments, isFed } from './frameArguments.ts';
import { planTimes } from './frameTimes.ts';
import type { DecodeTally } from './frameTimes.ts';
import { planLumaPair } from './lumaPair.ts';

/** Address space of one decoder: 8K pictures of 10 bits fit, a crafted header that asks for more does not. */
const mostMemoryKiB = 2_000_000;

/** How decoding ended, and how much was decoded to get there. */
export type FramesEnd = ProgramEnd & DecodeTally;

/** Decodes the frames asked for, one after another, into one buffer: none is collected, none converted. */
export async function* decodeFrames(request: FrameRequest): AsyncGenerator<Frame, FramesEnd> {
  const shape = frameShape(request);
  const buffer = frameBuffer(shape, request.buffers);
  const times = planTimes(request.startSeconds ?? 0, request.select === undefined ? 'leaving' : 'decoded');
  const pairShape = pairShapeOf(request);
  const pair = pairShape && planLumaPair(pairShape.width * pairShape.height, pairShape.bitDepth);
  const feeder = isFed(request) ? feederArguments(request, await isMp4OrMov(request.media)) : undefined;
  const stream = streamProgram({
    program: request.program,
    media: request.media,
    args: frameArguments(request),
    wallMs: request.wallMs,
    memoryKiB: mostMemoryKiB,
    stdoutBytes: Number.MAX_SAFE_INTEGER,
    stderrBytes: 65_536,
    onStderr: times.read,
    onAside: pair?.take,
    feeder: feeder === undefined ? undefined : { args: feeder, onStderr: times.readFeeder },
    signal: request.signal,
  });
  let filled = 0;
  try {
    for (;;) {
      const next = await stream.next();
      if (next.done === true) {
        for (const luma of pair?.pictures() ?? []) {
          const atSeconds = await times.next('aside');
          if (atSeconds !== undefined) yield { ...pairShape!, ...noChroma, luma, atSeconds };
        }
        return { ...next.value, ...times.tally() };
      }
      for (let from = 0; from < next.value.length;) {
        const take = Math.min(buffer.bytes.length - filled, next.value.length - from);
        buffer.bytes.set(next.value.subarray(from, from + take), filled);
        filled += take;
        from += take;
        if (filled < buffer.bytes.length) continue;
        filled = 0;
        const atSeconds = await times.next('leaving');
        if (atSeconds !== undefined) yield { ...shape, ...buffer.planes, atSeconds };
      }
    }
  } finally {
    // A consumer that stops early must end ffmpeg too; after its own end this does nothing.
    await stream.return(undefined as never);
  }
}

const noChroma = { cb: new Uint8Array(), cr: new Uint8Array() };

function frameBuffer(
  { width, height, bitDepth, lumaShrunkBy }: FrameShape,
  buffers: Map<number, ArrayBuffer> | undefined,
): {
  readonly bytes: Uint8Array;
  readonly planes: Pick<Frame, 'luma' | 'cb' | 'cr'>;
} {
  const lumaLength = width * height;
  const chromaLength = lumaShrunkBy === undefined ? Math.ceil(width / 2) * Math.ceil(height / 2) : 0;
  const length = lumaLength + 2 * chromaLength;
  const byteLength = bitDepth > 8 ? 2 * length : length;
  const memory = buffers?.get(byteLength) ?? new ArrayBuffer(byteLength);
  buffers?.set(byteLength, memory);
  const codes = bitDepth > 8 ? new Uint16Array(memory) : new Uint8Array(memory);
  return {
    bytes: new Uint8Array(memory),
    planes: {
      luma: codes.subarray(0, lumaLength),
      cb: codes.subarray(lumaLength, lumaLength + chromaLength),
      cr: codes.subarray(lumaLength + chromaLength),
    },
  };
}
