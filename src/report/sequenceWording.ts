import type { ReportedSequence } from '../document/auditDocument.ts';
import {
  capital,
  counted,
  formatAngle,
  formatDuration,
  formatExposure,
  formatMetres,
  formatRate,
  formatStops,
  stopsInWords,
} from '../domain/format.ts';
import type { Bracket, IntervalSeries, MappingFlight, StillSequence } from '../domain/sequence.ts';
import { findingTopic } from '../findings/index.ts';
import type { Kit } from './carryWording.ts';
import { filterText } from './filterWording.ts';

/** What a group of stills is called. */
export const sequenceNames: Readonly<
  Record<StillSequence['kind'], { readonly singular: string; readonly plural: string }>
> = {
  bracket: { singular: 'bracket', plural: 'brackets' },
  interval: { singular: 'interval series', plural: 'interval series' },
  mapping: { singular: 'mapping flight', plural: 'mapping flights' },
  burst: { singular: 'burst', plural: 'bursts' },
  panorama: { singular: 'panorama', plural: 'panoramas' },
};

/** What a group was taken as, with what tells: one sentence. */
export function takenAs(sequence: StillSequence): string {
  switch (sequence.kind) {
    case 'bracket':
      return `Taken as a bracket: ${bracketEvidence(sequence)}.`;
    case 'interval':
      return `Taken as a time-lapse: ${intervalEvidence(sequence)}.`;
    case 'mapping':
      return `Taken as a mapping flight: ${mappingEvidence(sequence)}.`;
    case 'burst':
      return `Taken as a burst: ${roughly(sequence.picturesPerSecond)} pictures a second at one exposure.`;
    case 'panorama':
      return (
        `Taken as a panorama: the camera turned through ${Math.round(sequence.turnDegrees)}° on one spot, ` +
        `some ${Math.round(sequence.stepDegrees)}° between pictures.`
      );
  }
}

const bracketSettings = { exposureSeconds: 'exposure time', iso: 'ISO', fNumber: 'aperture' } as const;

function bracketEvidence({ members }: Bracket): string {
  const moved = (['exposureSeconds', 'iso', 'fNumber'] as const).filter(
    (name) => new Set(members.flatMap(({ facts }) => facts[name]?.value ?? [])).size > 1,
  );
  const names = moved.map((name) => bracketSettings[name]).join(' and ');
  return `${members.length} different exposures of one view, one after the other, by ${names}`;
}

const signs: Readonly<Record<IntervalSeries['sign'], string>> = {
  notes: 'your notes say so',
  'long-exposures': 'an even interval, and exposures that fill a good part of it',
  'playing-time': 'an even interval, one view, and enough pictures to play as a shot',
};

function intervalEvidence({ sign }: IntervalSeries): string {
  return signs[sign];
}

function mappingEvidence(flight: MappingFlight): string {
  const { stepMetres, heightMetres, pitchDegrees, isInLines } = flight;
  const height = heightMetres === undefined ? '' : ` at ${metres(heightMetres)}`;
  return [
    `${metres(stepMetres)} between pictures${height}`,
    ...(pitchDegrees === undefined ? [] : [pitchDegrees <= -80 ? 'looking straight down' : 'looking down']),
    ...(isInLines ? ['along lines to and fro'] : []),
  ].join(', ');
}

function metres(length: number): string {
  return formatMetres(length < 10 ? length : Math.round(length));
}

function roughly(perSecond: number): string {
  return String(Number(perSecond.toFixed(perSecond < 10 ? 1 : 0)));
}

/** The page has all of them. */
const mostAlternatives = 2;

/** A group of stills: what it is, and sentences about it, by topic. */
export function sequenceSummary(sequence: ReportedSequence, kit: Kit) {
  const { kind, paths, filter, findings } = sequence;
  const members = `${counted(paths.length, 'still')}, ${paths[0] ?? ''} to ${paths.at(-1) ?? ''}`;
  const entries = [
    { topic: '', text: sequence.takenAs ?? '' },
    ...findings.map((finding) => ({ topic: findingTopic(finding.kind), text: finding.text })),
    { topic: 'playback', text: playbackText(sequence) },
    { topic: 'filter', text: (filter && filterText(filter, kit)) ?? '' },
    ...(filter?.otherwise ?? []).slice(0, mostAlternatives).map((text) => ({ topic: '', text })),
  ];
  return {
    heading: `${capital(sequenceNames[kind].singular)} of ${members}${sequenceDetails(sequence)}.`,
    entries: entries.filter(({ text }) => text !== ''),
  };
}

function sequenceDetails(sequence: ReportedSequence): string {
  if (sequence.kind === 'bracket') return bracketDetails(sequence);
  if (sequence.kind === 'interval') return intervalDetails(sequence);
  return sequence.kind === 'mapping' ? mappingDetails(sequence) : '';
}

/** More steps than that are a scale; their span says enough. */
const mostSteps = 9;

function bracketDetails({ stepsStops, spanStops }: ReportedSequence): string {
  if (stepsStops === undefined) return '';
  const steps = stepsStops.length > mostSteps ? '' : `, at ${stepsStops.map(formatStops).join(', ')} stops`;
  return `${steps}${spanStops === undefined ? '' : `, ${stopsInWords(spanStops)} in all`}`;
}

function intervalDetails(sequence: ReportedSequence): string {
  const { intervalSeconds, exposureSeconds, angleDegrees, missingFrames } = sequence;
  const every = intervalSeconds === undefined ? '' : `, one every ${formatDuration(intervalSeconds)}`;
  const exposed =
    exposureSeconds === undefined ? '' : `, each exposed for ${formatExposure(exposureSeconds)}`;
  const angle =
    angleDegrees === undefined ? '' : `, an effective shutter angle of ${formatAngle(angleDegrees)}`;
  const missing = missingFrames ? `, ${missingFrames} missing` : '';
  return `${every}${exposed}${angle}${missing}`;
}

function mappingDetails({ exposureSeconds, speedMetresPerSecond, blurPixels }: ReportedSequence): string {
  const speed = speedMetresPerSecond === undefined ? '' : `, at ${speedMetresPerSecond.toFixed(1)} m/s`;
  const exposed =
    exposureSeconds === undefined ? '' : `, each exposed for ${formatExposure(exposureSeconds)}`;
  const blur = blurPixels === undefined ? '' : `, ${pixelsInWords(blurPixels)} of motion blur on the ground`;
  return `${speed}${exposed}${blur}`;
}

/** Motion on the ground. */
export function pixelsInWords(pixels: number): string {
  if (pixels < 0.1) return 'less than 0.1 pixel';
  const size = Number(pixels.toFixed(pixels < 10 ? 1 : 0));
  return `${size} ${size <= 1 ? 'pixel' : 'pixels'}`;
}

function playbackText({ playback = [] }: ReportedSequence): string {
  if (playback.length === 0) return '';
  const lengths = playback.map(
    ({ framesPerSecond, seconds }) => `${formatDuration(seconds)} at ${formatRate(framesPerSecond)} fps`,
  );
  return `It plays for ${lengths.join(', ')}.`;
}
