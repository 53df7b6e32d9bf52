import type { AuditDocument } from '../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import type { FindingContext } from '../../src/findings/finding.ts';
import { findingText, type Finding } from '../../src/findings/index.ts';
import { standingCautions } from '../../src/report/dumpWording.ts';
import { alternativeText } from '../../src/report/filterWording.ts';

// An invented flight over an invented place with an invented camera. Numbers were worked out by hand from
// angle = 360 × rate × exposure and EV100 = log2(N² / t) - log2(S / 100).

const folder = 'DCIM/100_AERO';
const windowStops = [-0.7, 0] as const;

/** Markup, quotes, a formula, an escape sequence and a right-to-left override in one name. */
export const hostileName = '=<img src=x onerror="alert(1)">\'&\u001b[2J\u202e4PM.MP4';

function reported(findings: readonly Finding[], context: FindingContext = {}): ReportedRecording['findings'] {
  return findings.map((finding) => ({
    kind: finding.kind,
    weight: finding.weight,
    text: findingText(finding, { windowStops, ...context }),
    startSeconds: finding.startSeconds,
    endSeconds: finding.endSeconds,
  }));
}

interface ClipFacts {
  readonly recordedAt: string;
  readonly durationSeconds: number;
  readonly exposureSeconds?: number;
  readonly iso?: number;
  readonly framesPerSecond?: number;
}

function clipFacts({
  exposureSeconds,
  iso,
  recordedAt,
  durationSeconds,
  framesPerSecond = 25,
}: ClipFacts): ReportedRecording['facts'] {
  const container = 'container video track';
  const subtitles = 'SubRip sidecar';
  return {
    recordedAt: { value: recordedAt, source: 'container creation_time' },
    startTimecode: { value: '10:04:12:00', source: 'container timecode track' },
    durationSeconds: { value: durationSeconds, source: container },
    width: { value: 3840, source: container },
    height: { value: 2160, source: container },
    framesPerSecond: { value: framesPerSecond, source: container },
    exposureSeconds:
      exposureSeconds === undefined ? undefined : { value: exposureSeconds, source: subtitles },
    iso: iso === undefined ? undefined : { value: iso, source: subtitles },
    fNumber: { value: 2.8, source: subtitles },
    whiteBalance: { value: '5500 K', source: subtitles },
    focalLengthMm: { value: 8.8, source: subtitles },
    transfer: { value: 'bt709', source: container },
    range: { value: 'narrow', source: container },
    bitDepth: { value: 10, source: container },
    codec: { value: 'hevc', source: container },
    camera: { value: 'Merlock Halcyon 2', source: 'container make and model' },
  };
}

function picture(maxFraction: number, medianFraction: number): NonNullable<ReportedRecording['picture']> {
  return {
    framesMeasured: 24,
    samplingStepSeconds: 1,
    ceiling: { signal: 1, basis: 'nominal' },
    clippedFraction: { max: maxFraction, median: medianFraction },
    channelClippedFraction: { max: maxFraction * 1.2, median: medianFraction * 1.2 },
    clippedSpans: [],
    crushedFraction: { max: 0.0004, median: 0 },
    levelStops: { median: -0.4, low: -0.9, high: 0.1 },
    motionPixelsPerFrame: { median: 3.1, high: 11.8 },
  };
}

const nd8 = { label: 'ND8', stops: 3, source: 'notes' };

const on: ReportedRecording = {
  path: `${folder}/CLIP0001.MP4`,
  kind: 'clip',
  sizeBytes: 301_989_888,
  sidecars: [`${folder}/CLIP0001.SRT`],
  facts: clipFacts({
    recordedAt: '2026-05-14T09:58:02+02:00',
    durationSeconds: 24,
    exposureSeconds: 1 / 50,
    iso: 100,
  }),
  shutter: { verdict: 'on', angleDegrees: 180, offsetStops: 0, basis: 'recorded', matters: 'yes' },
  picture: picture(0.0006, 0),
  exposure: { ev100: 8.61, sceneEv100: 11.3, offsetStops: -0.3, basis: 'metered' },
  filter: {
    fitted: nd8,
    neededStops: 3.05,
    additionalStops: 0.05,
    change: 'none',
    pick: { label: 'ND8', stops: 3, leavesStops: -0.3 },
    basis: 'recorded exposure and meter',
    uncertaintyStops: 0.3,
    otherwise: [],
  },
  findings: [],
  refusals: [],
};

const short: ReportedRecording = {
  path: `${folder}/CLIP0002.MP4`,
  kind: 'clip',
  sizeBytes: 524_288_000,
  sidecars: [`${folder}/CLIP0002.SRT`],
  facts: {
    ...clipFacts({
      recordedAt: '2026-05-14T10:04:12+02:00',
      durationSeconds: 125.2,
      exposureSeconds: 1 / 800,
      iso: 100,
    }),
    exposureSeconds: {
      value: 1 / 800,
      source: 'SubRip sidecar CLIP0002.SRT',
      others: [{ value: 1 / 640, source: 'XMP exif:ExposureTime' }],
    },
  },
  track: {
    source: 'SubRip sidecar CLIP0002.SRT',
    samples: 3130,
    exposureSeconds: { min: 1 / 1000, median: 1 / 800, max: 1 / 640 },
    iso: { min: 100, median: 100, max: 100 },
    meteredOffsetStops: { min: -0.3, median: 0.3, max: 0.7 },
    timeline: [
      { startSeconds: 0, endSeconds: 40, exposureSeconds: 1 / 640, iso: 100, meteredOffsetStops: 0.7 },
      { startSeconds: 40, endSeconds: 90, exposureSeconds: 1 / 800, iso: 100, meteredOffsetStops: 0.3 },
      { startSeconds: 90, endSeconds: 125.2, exposureSeconds: 1 / 1000, iso: 100, meteredOffsetStops: -0.3 },
    ],
  },
  shutter: { verdict: 'short', angleDegrees: 11.25, offsetStops: -4, basis: 'recorded', matters: 'yes' },
  picture: {
    ...picture(0.031, 0.004),
    frames: [
      { atSeconds: 0, clippedFraction: 0.001, levelStops: -0.4 },
      { atSeconds: 5.2, clippedFraction: 0.031, levelStops: 0.1, motionPixelsPerFrame: 3.1 },
      { atSeconds: 40, clippedFraction: 0.004, levelStops: -0.5 },
      { atSeconds: 90, clippedFraction: 0.012, levelStops: -0.4, motionPixelsPerFrame: 11.8 },
      { atSeconds: 120, clippedFraction: 0.002, levelStops: -0.9 },
    ],
    clippedSpans: [
      { startSeconds: 4, endSeconds: 6.5, maxFraction: 0.031 },
      { startSeconds: 80, endSeconds: 97, maxFraction: 0.012 },
    ],
    clippedShape: 'area',
  },
  exposure: { ev100: 12.61, sceneEv100: 15.91, offsetStops: 0.3, basis: 'metered' },
  filter: {
    fitted: nd8,
    neededStops: 7.65,
    additionalStops: 4.65,
    change: 'stronger',
    pick: { label: 'ND128', stops: 7, leavesStops: 0.3 },
    basis: 'recorded exposure and meter',
    uncertaintyStops: 0.3,
    otherwise: [
      alternativeText({ kind: 'stack', labels: ['ND64', 'ND4'], stops: 8, leavesStops: -0.7 }),
      alternativeText({
        kind: 'other-frame-rate',
        label: 'ND64',
        framesPerSecond: 50,
        exposureSeconds: 1 / 100,
        leavesStops: 0.3,
      }),
    ],
  },
  findings: reported(
    [
      {
        kind: 'shutter-short',
        weight: 'high',
        exposureSeconds: 1 / 800,
        targetSeconds: 1 / 50,
        angleDegrees: 11.25,
        offsetStops: -4,
      },
      {
        kind: 'highlights-clipped',
        weight: 'medium',
        maxFraction: 0.031,
        medianFraction: 0.004,
        spanCount: 2,
        startSeconds: 4,
        endSeconds: 97,
      },
      { kind: 'too-bright', weight: 'medium', offsetStops: 0.3, basis: 'metered' },
      { kind: 'sources-disagree', weight: 'low', fact: 'exposureSeconds', chosen: '1/800', other: '1/640' },
    ],
    { recordingKind: 'clip', matters: 'yes' },
  ).map((finding) =>
    finding.kind === 'highlights-clipped'
      ? {
          ...finding,
          inTheEdit: 'Use another stretch; what is white there stays white.',
          nextTime: 'Expose for the sky and lift the ground in the edit.',
        }
      : finding,
  ),
  refusals: [
    {
      what: 'ISO',
      raw: '65535',
      source: 'XMP exif:ISOSpeedRatings',
      reason: 'it stands for "see another tag"',
    },
  ],
};

const long: ReportedRecording = {
  path: `${folder}/CLIP0003.MP4`,
  kind: 'clip',
  sizeBytes: 104_857_600,
  sidecars: [],
  facts: clipFacts({
    recordedAt: '2026-05-14T10:11:40+02:00',
    durationSeconds: 8.4,
    exposureSeconds: 1 / 30,
    iso: 100,
    framesPerSecond: 30_000 / 1001,
  }),
  shutter: { verdict: 'long', angleDegrees: 359.6, offsetStops: 0.998, basis: 'recorded', matters: 'no' },
  picture: { ...picture(0, 0), motionPixelsPerFrame: { median: 0.2, high: 0.4 } },
  exposure: { ev100: 7.88, offsetStops: -0.5, basis: 'metered' },
  filter: {
    additionalStops: -1.5,
    change: 'weaker',
    basis: 'recorded exposure and meter',
    uncertaintyStops: 0.3,
    otherwise: [],
  },
  findings: reported(
    [
      {
        kind: 'shutter-long',
        weight: 'medium',
        exposureSeconds: 1 / 30,
        targetSeconds: 1001 / 60_000,
        angleDegrees: 359.64,
        offsetStops: 0.9986,
      },
    ],
    { recordingKind: 'clip', matters: 'no' },
  ),
  refusals: [],
};

const impossible: ReportedRecording = {
  path: `${folder}/CLIP0004.MP4`,
  kind: 'clip',
  sizeBytes: 88_000_000,
  sidecars: [],
  facts: clipFacts({
    recordedAt: '2026-05-14T10:15:03+02:00',
    durationSeconds: 12,
    exposureSeconds: 0.1,
    iso: 100,
  }),
  shutter: { verdict: 'unknown', matters: 'unknown' },
  picture: picture(0.0002, 0),
  exposure: {},
  findings: reported([
    { kind: 'shutter-impossible', weight: 'medium', exposureSeconds: 0.1, frameSeconds: 0.04 },
  ]),
  refusals: [],
};

const sky: ReportedRecording = {
  path: `${folder}/CLIP0005.MP4`,
  kind: 'clip',
  sizeBytes: 212_000_000,
  sidecars: [],
  facts: clipFacts({
    recordedAt: '2026-05-14T10:21:55+02:00',
    durationSeconds: 42.4,
    exposureSeconds: 1 / 60,
    iso: 400,
  }),
  shutter: { verdict: 'on', angleDegrees: 150, offsetStops: -0.263, basis: 'recorded', matters: 'yes' },
  picture: {
    ...picture(0.184, 0.162),
    clippedSpans: [{ startSeconds: 0, endSeconds: 42.4, maxFraction: 0.184 }],
    clippedShape: 'area',
  },
  exposure: { ev100: 6.88, sceneEv100: 11.08, offsetStops: 1.2, basis: 'picture' },
  filter: {
    fitted: nd8,
    neededStops: 5.8,
    additionalStops: 2.8,
    change: 'stronger',
    pick: { label: 'ND64', stops: 6, leavesStops: -0.55 },
    basis: 'recorded exposure and picture level',
    uncertaintyStops: 0.5,
    otherwise: [],
  },
  findings: reported(
    [
      {
        kind: 'highlights-clipped',
        weight: 'high',
        maxFraction: 0.184,
        medianFraction: 0.162,
        spanCount: 1,
        startSeconds: 0,
        endSeconds: 42.4,
      },
      { kind: 'too-bright', weight: 'medium', offsetStops: 1.2, basis: 'picture' },
      { kind: 'iso-raised', weight: 'medium', iso: 400, baseIso: 100, overStops: 2 },
      {
        kind: 'shutter-edge',
        weight: 'low',
        exposureSeconds: 1 / 60,
        targetSeconds: 1 / 50,
        angleDegrees: 150,
        offsetStops: -0.263,
      },
    ],
    { recordingKind: 'clip', matters: 'yes' },
  ),
  refusals: [],
};

const sun: ReportedRecording = {
  path: `${folder}/CLIP0006.MP4`,
  kind: 'clip',
  sizeBytes: 140_000_000,
  sidecars: [],
  facts: clipFacts({
    recordedAt: '2026-05-14T10:30:18+02:00',
    durationSeconds: 15,
    exposureSeconds: 1 / 50,
    iso: 100,
  }),
  shutter: { verdict: 'on', angleDegrees: 180, offsetStops: 0, basis: 'recorded', matters: 'unknown' },
  picture: { ...picture(0.0012, 0.0011), clippedShape: 'disc' },
  exposure: { ev100: 8.61, sceneEv100: 14.21, offsetStops: -0.4, basis: 'metered' },
  filter: {
    fitted: { label: 'ND64', stops: 6, source: 'notes' },
    neededStops: 5.95,
    additionalStops: -0.05,
    change: 'none',
    pick: { label: 'ND64', stops: 6, leavesStops: -0.4 },
    basis: 'recorded exposure and meter',
    uncertaintyStops: 0.3,
    otherwise: [],
  },
  findings: reported([{ kind: 'disc-clipped', weight: 'low', maxFraction: 0.0012, shape: 'disc' }]),
  refusals: [],
};

const unknownExposure: ReportedRecording = {
  path: `${folder}/${hostileName}`,
  kind: 'clip',
  sizeBytes: 61_000_000,
  sidecars: [],
  facts: {
    framesPerSecond: { value: 24_000 / 1001, source: 'container video track' },
    durationSeconds: { value: 6, source: 'container video track' },
    camera: { value: hostileName, source: 'container make and model' },
  },
  shutter: { verdict: 'unknown', matters: 'unknown' },
  exposure: {},
  findings: reported([
    { kind: 'shutter-unknown', weight: 'low', missing: 'exposure' },
    { kind: 'decoded-in-part', weight: 'medium', atSeconds: 2.4, reason: 'the file ends early' },
  ]).map((finding) => (finding.kind === 'decoded-in-part' ? { ...finding, startSeconds: 2.4 } : finding)),
  refusals: [],
};

const stills: readonly ReportedRecording[] = [1, 2, 3, 4, 5].map((number) => ({
  path: `${folder}/STILL000${number}.JPG`,
  kind: 'still',
  sizeBytes: 9_400_000,
  sidecars: [],
  facts: {
    recordedAt: { value: `2026-05-14T10:40:0${number}+02:00`, source: 'EXIF DateTimeOriginal' },
    exposureSeconds: { value: 1 / 1000, source: 'EXIF ExposureTime' },
    fNumber: { value: 2.8, source: 'EXIF FNumber' },
    iso: { value: 100, source: 'EXIF PhotographicSensitivity' },
  },
  picture: { ...picture(number === 3 ? 0.07 : 0.0003, number === 3 ? 0.07 : 0.0003), framesMeasured: 1 },
  exposure: { ev100: 12.94, sceneEv100: 15.94 },
  findings:
    number === 3
      ? reported(
          [
            {
              kind: 'highlights-clipped',
              weight: 'medium',
              maxFraction: 0.07,
              medianFraction: 0.07,
              spanCount: 1,
            },
          ],
          { recordingKind: 'still' },
        )
      : [],
  refusals: [],
}));

export const exampleDocument: AuditDocument = {
  format: 'halfturn-audit',
  formatVersion: 1,
  generatedAt: '2026-05-14T18:02:11Z',
  dump: 'card-014',
  settings: {
    shutterAngleDegrees: 180,
    shutterToleranceStops: 0.34,
    baseIso: 100,
    windowStops,
    clippedFraction: 0.005,
    measure: 'sampled',
    kit: [
      { label: 'ND4', stops: 2 },
      { label: 'ND8', stops: 3 },
      { label: 'ND64', stops: 6 },
      { label: 'ND128', stops: 7 },
    ],
    kitAssumed: false,
  },
  recordings: [on, short, long, impossible, sky, sun, unknownExposure, ...stills],
  sequences: [
    {
      kind: 'bracket',
      paths: stills.slice(0, 3).map(({ path }) => path),
      stepsStops: [-2, 0, 2],
      findings: [],
    },
  ],
  problems: [
    {
      path: `${folder}/CLIP0009.MP4`,
      message: 'was cut off: its index is missing, so no frame can be found',
      hint: 'Copy it from the card again, or repair it with a general MP4 tool.',
    },
  ],
  leftAside: { proxies: 7, other: 2 },
  cautions: standingCautions,
};
