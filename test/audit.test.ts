import { beforeAll, describe, expect, it } from 'vitest';
import { auditDocumentSchema, type AuditDocument } from '../src/document/auditDocument.ts';
import type { ReportedRecording } from '../src/document/reportedRecording.ts';
import { cardAudit } from './cardAudit.ts';
import { oppositesIn } from './opposites.ts';
import { sampleTruth, type TrueRecording } from './sampleCard.ts';

const truth = sampleTruth();
const clips = truth.recordings.filter(({ kind }) => kind === 'clip');
const stills = truth.recordings.filter(({ kind }) => kind === 'still');

/** Each number: how far a reading may lie from the generator's truth, and why. */
const tolerances = {
  /** Two decimals are printed; an exact rational and a decimal exposure time must give the same. */
  angleDegrees: 0.01,
  /** Share of the picture: the encoder moves the rim of a burnt area by a pixel or so. */
  clippedFraction: 0.005,
  /** A still with a soft gradient into white: 98% of the peak counts as clipped, and a gradient has much there. */
  softClippedFraction: 0.15,
  /** Pixels per frame, or 2% of the motion where that is more. */
  motionPixels: 0.1,
  motionShare: 0.02,
  /** Mean light of the picture: quantised to 8 bits and encoded. */
  levelStops: 0.1,
  /** Motion blur of more than three pixels tells the angle to about a tenth of a stop. */
  blurStops: 0.15,
  /** Decimal places of the telemetry text. */
  degrees: 1e-4,
} as const;

/** Reference white is 75% of the HLG signal (Report ITU-R BT.2408), which is this share of its full scene light. */
const hlgReferenceWhiteLight = 0.26496;

let document: AuditDocument;

beforeAll(async () => {
  ({ document } = await cardAudit());
});

function reported({ path }: TrueRecording): ReportedRecording {
  const found = document.recordings.find((recording) => recording.path === path);
  if (found === undefined) throw new Error(`${path} is missing from the audit`);
  return found;
}

describe('audit() of the sample card', () => {
  it('finds every recording, says what it left aside and what it could not read', () => {
    expect(document.recordings.map(({ path }) => path).toSorted()).toEqual(
      truth.recordings.map(({ path }) => path).toSorted(),
    );
    expect(document.problems.map(({ path }) => path).toSorted()).toEqual(
      truth.unreadable.map(({ path }) => path).toSorted(),
    );
    const leftAside = Object.values(document.leftAside).reduce((sum, count) => sum + count, 0);
    expect(leftAside).toBe(truth.leftAside.length);
  });

  it('never asks for opposite things of a recording', () => {
    expect(document.recordings.flatMap(oppositesIn)).toEqual([]);
  });

  it('is a document that its own schema accepts, and holds nothing beside', () => {
    expect(auditDocumentSchema.parse(document)).toEqual(document);
  });

  it.each(clips)('$path: rate, size and depth as made', (clip) => {
    const { facts } = reported(clip);
    const [numerator = 0, denominator = 1] = (clip.captureRate ?? '').split('/').map(Number);
    expect(facts.framesPerSecond?.value).toBeCloseTo(numerator / denominator, 9);
    expect([facts.width?.value, facts.height?.value]).toEqual([clip.width, clip.height]);
    expect(facts.bitDepth?.value).toBe(clip.bitDepth);
    expect(facts.range?.value).toBe(clip.range);
    expect(facts.durationSeconds?.value).toBeCloseTo(clip.durationSeconds ?? Number.NaN, 2);
  });

  it.each(clips.filter(({ exposureSeconds }) => exposureSeconds !== undefined))(
    '$path: shutter angle',
    (clip) => {
      const { shutter, facts } = reported(clip);
      const expected = clip.expectedAngleDegrees ?? Number.NaN;
      if (expected > 360) {
        expect(shutter?.angleDegrees).toBeUndefined();
        return;
      }
      if (clip.planted.some((fault) => fault.includes('drifts') || fault.includes('sidecar says'))) return;
      expect(Math.abs((shutter?.angleDegrees ?? Number.NaN) - expected)).toBeLessThan(
        tolerances.angleDegrees,
      );
      expect(facts.iso?.value).toBe(clip.iso);
      expect(facts.fNumber?.value).toBeCloseTo(clip.fNumber ?? Number.NaN, 6);
    },
  );

  it.each(
    clips.filter(({ exposureSeconds, renderedAngleDegrees }) => !exposureSeconds && renderedAngleDegrees),
  )('$path: shutter angle from the motion blur, where none was recorded', (clip) => {
    const { shutter } = reported(clip);
    const truth = clip.renderedAngleDegrees ?? Number.NaN;
    expect(shutter).toMatchObject({ basis: 'picture' });
    expect(Math.abs(Math.log2((shutter?.angleDegrees ?? Number.NaN) / truth))).toBeLessThan(
      tolerances.blurStops,
    );
    expect(shutter?.interval?.lowDegrees).toBeLessThanOrEqual(truth);
    expect(shutter?.interval?.highDegrees).toBeGreaterThanOrEqual(truth);
  });

  it.each(stills)('$path: exposure as tagged', (still) => {
    const { facts } = reported(still);
    expect(facts.exposureSeconds?.value).toBeCloseTo(still.exposureSeconds ?? Number.NaN, 12);
    expect(facts.fNumber?.value).toBeCloseTo(still.fNumber ?? Number.NaN, 6);
    expect(facts.iso?.value).toBe(still.iso);
    expect(Math.abs((facts.latitude?.value ?? Number.NaN) - (still.latitude ?? 0))).toBeLessThan(
      tolerances.degrees,
    );
  });

  it.each(truth.recordings)('$path: clipped share of the picture', (recording) => {
    const { picture } = reported(recording);
    const expected = Math.max(0, ...(recording.clipped ?? []).map(({ fraction }) => fraction));
    const soft = recording.kind === 'still' && recording.clipped?.[0]?.shape === undefined;
    const tolerance = soft ? tolerances.softClippedFraction : tolerances.clippedFraction;
    expect(Math.abs((picture?.clippedFraction.max ?? Number.NaN) - expected)).toBeLessThan(tolerance);
    const shape = recording.clipped?.[0]?.shape;
    if (shape !== undefined) expect(picture?.clippedShape).toBe(shape);
  });

  it.each(clips.filter(({ clipped }) => clipped?.some(({ shape }) => shape === 'area')))(
    '$path: clipped spans within one sampling step',
    (clip) => {
      const { picture } = reported(clip);
      const step = picture?.samplingStepSeconds ?? Number.NaN;
      const [expected] = clip.clipped ?? [];
      expect(picture?.clippedSpans).toHaveLength(1);
      const [span] = picture?.clippedSpans ?? [];
      expect(
        Math.abs((span?.startSeconds ?? Number.NaN) - (expected?.startSeconds ?? 0)),
      ).toBeLessThanOrEqual(step);
      expect(Math.abs((span?.endSeconds ?? Number.NaN) - (expected?.endSeconds ?? 0))).toBeLessThanOrEqual(
        step,
      );
    },
  );

  it.each(clips)('$path: image motion', (clip) => {
    const { dxPixelsPerFrame = Number.NaN, dyPixelsPerFrame = Number.NaN } = clip.motion ?? {};
    const expected = Math.hypot(dxPixelsPerFrame, dyPixelsPerFrame);
    const median = reported(clip).picture?.motionPixelsPerFrame?.median ?? Number.NaN;
    const tolerance = Math.max(tolerances.motionPixels, tolerances.motionShare * expected);
    expect(Math.abs(median - expected)).toBeLessThan(tolerance);
  });

  it.each(clips)('$path: level of the picture', (clip) => {
    const grey = 0.18 * (clip.transfer === 'hlg' ? hlgReferenceWhiteLight : 1);
    const expected = Math.log2((clip.meanLight?.median ?? Number.NaN) / grey);
    const level = reported(clip).picture?.levelStops?.median ?? Number.NaN;
    expect(Math.abs(level - expected)).toBeLessThan(tolerances.levelStops);
  });
});
