import { frameCount, frameExposures, openShare } from './exposureTrack.ts';
import { highlightLight } from './highlights.ts';
import { blankPicture, applyPixelAperture, choosePlace, CLIP_STRIDE, expose, type Point } from './view.ts';
import { developVideo, packingFor } from './picture.ts';
import { recordingNumber } from './place.ts';
import type { ClipPlan, Highlight } from './plan.ts';
import { rational } from './rational.ts';
import type { Scene } from './land.ts';

/** Scene light that is to come out at mid-grey when the meter says 0. */
const MID_GREY = 0.18;

/**
 * HLG keeps room above diffuse white: light is scaled so that 100% diffuse white comes out at 75% of signal
 * (ITU-R BT.2408), which makes 18% grey about 38%.
 */
const HLG_SCALE = 0.265;

/** Ground kept around the pan for the smear and for interpolation, in scene samples. */
const MARGIN = 40;

/** What was counted while rendering, frame by frame. */
export interface Rendered {
  readonly clippedFractions: number[];
  readonly meanLights: number[];
}

/**
 * Yields the frames of a clip and notes the truth about each in `rendered`.
 *
 * Averaging over the shutter and shifting commute, so a constant exposure is smeared once over the whole ground
 * and then panned; only a drifting one is averaged frame by frame.
 */
export function* clipFrames(plan: ClipPlan, scene: Scene, rendered: Rendered): Generator<Uint8Array> {
  const { ground, start, gain } = prepareGround(plan, scene);
  const packing = packingFor(plan.encoding);
  const highlight = plan.highlights[0];
  const added = highlight && highlightLight(highlight, plan);
  const exposures = frameExposures(plan);
  const picture = blankPicture(plan.width, plan.height);
  for (let frame = 0; frame < exposures.length; frame++) {
    const at = { x: start.x - way(plan).x * frame, y: start.y - way(plan).y * frame };
    const smear =
      plan.exposureAtEnd === undefined ? { x: 0, y: 0 } : smearOf(plan, exposures[frame]?.seconds ?? 0);
    expose(picture, ground, { at, stride: CLIP_STRIDE, smear });
    const lit = highlight !== undefined && isLit(highlight, plan.rate, frame);
    const developed = developVideo(picture, { gain, added: lit ? added : undefined }, packing);
    rendered.clippedFractions.push(developed.clippedFraction);
    rendered.meanLights.push(developed.meanLight);
    yield developed.bytes;
  }
}

function prepareGround(plan: ClipPlan, scene: Scene): { ground: Scene; start: Point; gain: number } {
  const steps = frameCount(plan) - 1;
  const pan = { x: way(plan).x * steps, y: way(plan).y * steps };
  const width = Math.ceil(plan.width * CLIP_STRIDE + Math.abs(pan.x)) + 2 * MARGIN;
  const height = Math.ceil(plan.height * CLIP_STRIDE + Math.abs(pan.y)) + 2 * MARGIN;
  const place = choosePlace(scene, recordingNumber(plan.file), { width, height });
  const ground = blankPicture(width - MARGIN, height - MARGIN);
  const constant = plan.exposureAtEnd === undefined;
  const smear = constant ? smearOf(plan, frameExposures(plan)[0]?.seconds ?? 0) : { x: 0, y: 0 };
  const corner = { x: place.x + MARGIN / 2, y: place.y + MARGIN / 2 };
  expose(ground, scene, { at: corner, stride: 1, smear });
  applyPixelAperture(ground);
  const level = MID_GREY * 2 ** plan.meteredOffsetStops * (plan.encoding === 'hevc-10-hlg' ? HLG_SCALE : 1);
  const start = { x: MARGIN / 2 + Math.max(0, pan.x), y: MARGIN / 2 + Math.max(0, pan.y) };
  return { ground, start, gain: level / place.mean };
}

/** Way of the ground in one frame interval, in scene samples. */
function way({ motion }: ClipPlan): Point {
  return { x: motion.dxPixelsPerFrame * CLIP_STRIDE, y: motion.dyPixelsPerFrame * CLIP_STRIDE };
}

function smearOf(plan: ClipPlan, exposureSeconds: number): Point {
  const share = openShare(plan, exposureSeconds);
  return { x: way(plan).x * share, y: way(plan).y * share };
}

function isLit({ startSeconds = 0, endSeconds = Infinity }: Highlight, rate: string, frame: number): boolean {
  const { numerator, denominator } = rational(rate);
  const atSeconds = (frame * denominator) / numerator;
  return atSeconds >= startSeconds - 1e-9 && atSeconds < endSeconds - 1e-9;
}
