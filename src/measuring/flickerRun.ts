import { ev100 } from '../domain/exposure.ts';
import type { Facts } from '../domain/recording.ts';
import { decodeAt } from './decoding/clipDecoding.ts';
import type { ClipDecoding } from './decoding/clipDecoding.ts';
import { flickerFrames, flickerOf } from './flicker.ts';
import { planLevelMeter } from './level.ts';
import { lumaWeights } from './signal.ts';

/** EV at ISO 100. Lamps light no scene so brightly: floodlit buildings are 3 to 5, bright streets 8 (exposure guides). */
const brighterThanLamps = 11;

/** False where the recorded settings prove daylight; a filter on the lens makes the scene brighter still. */
export function mayBeLampLight(facts: Facts): boolean {
  const settings = ev100({
    fNumber: facts.fNumber?.value,
    exposureSeconds: facts.exposureSeconds?.value,
    iso: facts.iso?.value,
  });
  return settings === undefined || settings < brighterThanLamps;
}

/** How much the brightness of consecutive frames flickers at a place in a clip, in stops. */
export async function flickerAt(
  decoding: ClipDecoding,
  { transfer, range }: Facts,
  startSeconds: number,
): Promise<number | undefined> {
  if (transfer === undefined) return undefined;
  const level = planLevelMeter(
    { transfer: transfer.value, range: range?.value ?? 'narrow', weights: lumaWeights(transfer.value) },
    decoding.geometry.bitDepth,
  );
  const levels: number[] = [];
  for await (const frame of decodeAt(decoding, { startSeconds, maxFrames: flickerFrames })) {
    const light = level(frame);
    if (light !== undefined) levels.push(light.levelStops);
  }
  return flickerOf(levels);
}
