import { frameCount, frameExposures, openShare } from './exposureTrack.ts';
import { placeOf, recordingNumber } from './place.ts';
import type { Carrier, ClipPlan, Encoding, SequencePlan, StillPlan } from './plan.ts';
import { angleDegrees, rational, toNumber } from './rational.ts';
import type { Developed } from './picture.ts';
import type { Rendered } from './renderClip.ts';
import { LEFT_ASIDE, UNREADABLE } from './strays.ts';

/** Raise it whenever the card's bytes or the truth change: an older card is then made anew. */
export const GENERATOR_VERSION = 4;

const CODING: Readonly<
  Record<Encoding, { codec: string; bitDepth: number; range: string; transfer: string }>
> = {
  h264: { codec: 'h264', bitDepth: 8, range: 'narrow', transfer: 'bt709' },
  'h264-full-range': { codec: 'h264', bitDepth: 8, range: 'full', transfer: 'bt709' },
  'hevc-10': { codec: 'hevc', bitDepth: 10, range: 'narrow', transfer: 'bt709' },
  'hevc-10-hlg': { codec: 'hevc', bitDepth: 10, range: 'narrow', transfer: 'hlg' },
};

export function clipTruth(plan: ClipPlan, rendered: Rendered) {
  const frames = frameCount(plan);
  const turned = plan.rotationDegrees === 90;
  const { dxPixelsPerFrame, dyPixelsPerFrame } = plan.motion;
  const exposureSeconds = toNumber(rational(plan.exposure));
  const recorded = plan.carriers.length > 0;
  return {
    path: plan.file,
    kind: 'clip',
    frameRate: ratio(plan.rate),
    captureRate: ratio(plan.rate),
    frameCount: frames,
    durationSeconds: secondsAt(plan, frames),
    width: turned ? plan.height : plan.width,
    height: turned ? plan.width : plan.height,
    rotationDegrees: plan.rotationDegrees,
    ...CODING[plan.encoding],
    ...(recorded ? recordedFacts(plan) : {}),
    exposureCarrier: plan.carriers.map(carrierName),
    sidecars: plan.carriers.map((carrier) => sidecarPath(plan, carrier)).filter((path) => path !== undefined),
    recordedAt: plan.recordedAt,
    // Impossible where it exceeds 360; of the first frame where the exposure drifts.
    ...(recorded
      ? {
          expectedAngleDegrees: angleDegrees({
            rate: rational(plan.rate),
            exposure: rational(plan.exposure),
          }),
        }
      : {}),
    renderedAngleDegrees: 360 * openShare(plan, exposureSeconds),
    // As displayed, + = to the right and down: a clockwise quarter turn takes right to down.
    motion: turned
      ? { dxPixelsPerFrame: -dyPixelsPerFrame, dyPixelsPerFrame: dxPixelsPerFrame }
      : { dxPixelsPerFrame, dyPixelsPerFrame },
    clipped: clippedSpans(plan, rendered.clippedFractions),
    meanLight: {
      median: median(rendered.meanLights),
      low: Math.min(...rendered.meanLights),
      high: Math.max(...rendered.meanLights),
    },
    planted: plan.planted,
    ...(plan.exposureAtEnd === undefined ? {} : { track: trackTruth(plan) }),
  };
}

function recordedFacts(plan: ClipPlan) {
  const inWords = plan.carriers.some((carrier) => 'arrangement' in carrier);
  return {
    ...exposureFacts(plan),
    ...(inWords ? { meteredOffsetStops: plan.meteredOffsetStops } : {}),
    ...(plan.contradiction === undefined ? {} : { contradictingExposure: plan.contradiction }),
    ...placeOf(recordingNumber(plan.file)),
  };
}

function exposureFacts({ exposure, fNumber, iso }: ClipPlan | StillPlan) {
  return { exposureSeconds: toNumber(rational(exposure)), exposure, fNumber, iso };
}

const CARRIER_NAMES = {
  'subrip-sidecar': 'SubRip sidecar',
  'text-track': 'text track in the clip',
  'xmp-sidecar': 'XMP sidecar',
  'xmp-embedded': 'XMP in the clip',
} as const;

function carrierName(carrier: Carrier): string {
  return CARRIER_NAMES[carrier.in];
}

export function sidecarPath(plan: ClipPlan, carrier: Carrier): string | undefined {
  if (carrier.in === 'subrip-sidecar') return plan.file.replace('.MP4', '.SRT');
  return carrier.in === 'xmp-sidecar' ? plan.file.replace('.MP4', '.XMP') : undefined;
}

function trackTruth(plan: ClipPlan) {
  return {
    samples: frameExposures(plan).map(({ text, seconds }, frame) => ({
      startSeconds: secondsAt(plan, frame),
      endSeconds: secondsAt(plan, frame + 1),
      exposureSeconds: seconds,
      exposure: text,
      iso: plan.iso,
      fNumber: plan.fNumber,
      angleDegrees: 360 * toNumber(rational(plan.rate)) * seconds,
    })),
  };
}

/** Unbroken stretches of frames in which anything is clipped; a span ends where its last frame leaves the screen. */
function clippedSpans(plan: ClipPlan, fractions: readonly number[]) {
  const spans: {
    startSeconds: number;
    endSeconds: number;
    fraction: number;
    shape?: string;
    region?: string;
  }[] = [];
  fractions.forEach((fraction, frame) => {
    if (fraction === 0) return;
    const last = spans.at(-1);
    const startSeconds = secondsAt(plan, frame);
    const endSeconds = secondsAt(plan, frame + 1);
    if (last?.endSeconds === startSeconds) {
      last.endSeconds = endSeconds;
      last.fraction = Math.max(last.fraction, fraction);
      return;
    }
    const { shape, region } = plan.highlights[0] ?? {};
    spans.push({ startSeconds, endSeconds, fraction, shape, region });
  });
  return spans;
}

export function stillTruth(plan: StillPlan, developed: Omit<Developed, 'bytes'>) {
  const turned = plan.orientation === 6;
  const { shape, region } = plan.highlights[0] ?? {};
  return {
    path: plan.file,
    kind: 'still',
    width: turned ? plan.height : plan.width,
    height: turned ? plan.width : plan.height,
    rotationDegrees: turned ? 90 : 0,
    codec: plan.format,
    bitDepth: 8,
    range: 'full',
    transfer: 'srgb',
    ...exposureFacts(plan),
    exposureBiasStops: plan.biasStops,
    focalLengthMm: 10.3,
    exposureCarrier: ['EXIF'],
    recordedAt: plan.recordedAt,
    ...placeOf(recordingNumber(plan.file)),
    clipped: developed.clippedFraction === 0 ? [] : [{ fraction: developed.clippedFraction, shape, region }],
    meanLight: { median: developed.meanLight },
    planted: plan.planted,
  };
}

function sequenceTruth({ kind, stills, intervalSeconds }: SequencePlan) {
  const paths = stills.map(({ file }) => file);
  if (kind === 'bracket')
    return { kind, paths, stepsStops: stills.map(({ biasStops }) => biasStops), intervalSeconds };
  const exposure = rational(stills[0]?.exposure ?? '');
  return {
    kind,
    paths,
    intervalSeconds,
    angleDegrees: angleDegrees({ rate: { numerator: 1, denominator: intervalSeconds }, exposure }),
  };
}

type RecordingTruth = ReturnType<typeof clipTruth> | ReturnType<typeof stillTruth>;

export function cardTruth(recordings: readonly RecordingTruth[], sequences: readonly SequencePlan[]) {
  return {
    generatorVersion: GENERATOR_VERSION,
    camera: 'Aeroform A1',
    recordings: recordings.toSorted((a, b) => (a.path < b.path ? -1 : 1)),
    sequences: sequences.map(sequenceTruth),
    leftAside: LEFT_ASIDE,
    unreadable: UNREADABLE,
  };
}

/** Always with its denominator: "24/1". */
function ratio(rate: string): string {
  const { numerator, denominator } = rational(rate);
  return `${numerator}/${denominator}`;
}

function secondsAt({ rate }: ClipPlan, frame: number): number {
  const { numerator, denominator } = rational(rate);
  return (frame * denominator) / numerator;
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
