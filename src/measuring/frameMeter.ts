import type { Ceiling, FrameMeasure, RangeInUse } from '../domain/measurement.ts';
import type { Facts, RangeName, TransferName } from '../domain/recording.ts';
import { topCode } from './codeHistogram.ts';
import type { Frame, FrameGeometry } from './decoding/frame.ts';
import { ceilingCandidates, ceilingEvidence, clipCeiling } from './highlights/ceiling.ts';
import { clippingAt, readPicture, type PictureCodes } from './highlights/clipping.ts';
import { lightStops, planLevelMeter, type LevelMeter, type PictureLight } from './level.ts';
import { rangeEvidence, rangeInUse } from './rangeInUse.ts';
import { codeRange, lumaWeights } from './signal.ts';

/** The pictures of one clip, judged by one range and one ceiling for all of them. */
export interface MeteredFrames {
  readonly frames: readonly FrameMeasure[];
  readonly ceiling: Ceiling;
  readonly range: RangeInUse;
}

/** Measures the single pictures of one clip. */
export interface FrameMeter {
  readonly measure: (frame: Frame) => void;
  /** Whether a picture was measured within so many seconds of a place. */
  readonly looksNear: (atSeconds: number, withinSeconds: number) => boolean;
  /** Of the pictures measured so far, in order of time. */
  readonly result: () => MeteredFrames;
}

interface Kept {
  readonly atSeconds: number;
  readonly codes: PictureCodes;
  readonly light: Readonly<Record<RangeName, PictureLight | undefined>>;
}

/** Prepares measuring by what is known of the clip. */
export function planFrameMeter(facts: Facts, { bitDepth }: FrameGeometry): FrameMeter {
  const recorded = facts.range?.value;
  const believed = recorded ?? 'narrow';
  const transfer = facts.transfer?.value;
  const weights = lumaWeights(transfer);
  const level = (range: RangeName): LevelMeter =>
    transfer === undefined ? () => undefined : planLevelMeter({ transfer, range, weights }, bitDepth);
  const levels = { narrow: level('narrow'), full: level('full') };
  const rotationDegrees = facts.rotationDegrees?.value ?? 0;
  const kept: Kept[] = [];

  return {
    measure: (frame) => {
      if (kept.some(({ atSeconds }) => atSeconds === frame.atSeconds)) return;
      const codes = readPicture(frame, {
        range: believed,
        weights,
        rotationDegrees,
        candidates: (luma) => ceilingCandidates(luma, believed, bitDepth),
      });
      const light = { narrow: levels.narrow(frame), full: levels.full(frame) };
      kept.push({ atSeconds: frame.atSeconds, codes, light });
    },
    looksNear: (place, withinSeconds) =>
      kept.some(({ atSeconds }) => Math.abs(atSeconds - place) <= withinSeconds),
    result: () => {
      const range = rangeInUse(
        recorded,
        kept.map(({ codes }) => rangeEvidence(codes.luma, bitDepth)),
      );
      const evidence = kept.map(({ codes }) =>
        ceilingEvidence(codes.luma, codeRange(range.name, bitDepth), codes.channels.highest),
      );
      const ceiling = clipCeiling(transfer, range.name, evidence);
      const frames = kept.map((one) => frameMeasure(one, { range: range.name, ceiling, transfer }));
      return { frames: frames.sort((a, b) => a.atSeconds - b.atSeconds), ceiling, range };
    },
  };
}

interface Judgement {
  readonly range: RangeName;
  readonly ceiling: Ceiling;
  readonly transfer: TransferName | undefined;
}

function frameMeasure({ atSeconds, codes, light }: Kept, judgement: Judgement): FrameMeasure {
  const lit = light[judgement.range];
  const headroomStops = headroom(codes, judgement);
  return {
    atSeconds,
    ...clippingAt(codes, judgement.range, judgement.ceiling),
    ...(lit === undefined ? {} : { levelStops: lit.levelStops, lightQuantilesStops: lit.quantilesStops }),
    ...(headroomStops === undefined ? {} : { headroomStops }),
  };
}

/** Share of a picture that may lie above its brightest part: noise, single glints. */
const brightestShare = 0.001;

/** From the brightest thousandth of the picture, in any channel, up to where it would be lost; none in a PQ without end. */
function headroom(
  { channels, bitDepth }: PictureCodes,
  { range, ceiling, transfer }: Judgement,
): number | undefined {
  if (transfer === undefined || (transfer === 'pq' && ceiling.basis !== 'observed')) return undefined;
  const { black, peak } = codeRange(range, bitDepth);
  const top = (topCode(channels.highest, brightestShare) - black) / (peak - black);
  const brightest = lightStops(transfer, top);
  const end = lightStops(transfer, ceiling.signal);
  return brightest === undefined || end === undefined ? undefined : Math.max(0, end - brightest);
}
