import { framesPerSecond } from '../../domain/frameRate.ts';
import type { Refusal, TrackSample } from '../../domain/recording.ts';
import type { ByteSource } from '../containers/byteSource.ts';
import { klvPackets } from '../containers/mxfPackets.ts';
import type { BoundedFact } from '../plausible.ts';
import { judgedNumber } from '../recordedNumber.ts';
import { sighting } from '../sighting.ts';
import type { FactSighting, Reading } from '../sighting.ts';
import { exposureOf, isAcquisitionSet, parseAcquisitionSet } from './acquisitionSets.ts';
import type { Acquisition } from './acquisitionSets.ts';
import type { TelemetryContext } from '../telemetryPairs.ts';
import { keepRefusals, trackReading } from './trackReading.ts';

/** The acquisition sets of one frame; frames without one are left out. */
interface FrameSet extends Acquisition {
  readonly frameIndex: number;
}

// Picture elements of the generic container (SMPTE ST 379-2): D-10, any other picture, picture and sound together.
const pictureKey = /^060e2b34010201010d010301(?:05|15|18)/;

// A file whose first frames carry no set carries none: the rest need not be walked.
const framesTried = 250;
// Half a dozen a frame: more than an hour; each costs some microseconds.
const maxPackets = 600_000;
const maxSetBytes = 65_536;

/** Reads SMPTE RDD 18 sets that stand in front of (or behind) each picture of an MXF file. */
export function parseRdd18(
  source: ByteSource,
  context: TelemetryContext & { readonly playbackFramesPerSecond?: number | undefined },
): Reading {
  const { frames, refusals } = frameSets(source, context.source);
  const rate = context.playbackFramesPerSecond;
  if (frames.length === 0) return { sightings: [], refusals };
  const all = [...refusals];
  const samples = frames.flatMap((set): TrackSample[] => {
    const { facts, refused } = judged(set, context);
    keepRefusals(all, refused);
    if (rate === undefined || Object.keys(facts).length === 0) return [];
    return [{ startSeconds: set.frameIndex / rate, endSeconds: (set.frameIndex + 1) / rate, ...facts }];
  });
  if (rate === undefined) all.push(noRate(frames.length, context.source));
  const held = clipWide(frames, context.source);
  const reading = trackReading(samples, [...all, ...held.refusals], context);
  return { ...reading, sightings: [...reading.sightings, ...held.sightings] };
}

function frameSets(source: ByteSource, label: string): { frames: FrameSet[]; refusals: Refusal[] } {
  const frames: FrameSet[] = [];
  let pictures = 0;
  let packets = 0;
  let behind = false;
  for (const { key, valueStart, valueBytes } of klvPackets(source)) {
    packets++;
    if (packets > maxPackets) return { frames, refusals: [tooMany(label)] };
    if (pictureKey.test(key)) {
      pictures++;
      if (pictures >= framesTried && frames.length === 0) break;
    } else if (isAcquisitionSet(key) && valueBytes <= maxSetBytes) {
      // Where a picture came before the first set, sets stand behind the picture that they describe.
      behind ||= frames.length === 0 && pictures > 0;
      const frameIndex = behind ? pictures - 1 : pictures;
      const set = parseAcquisitionSet(source.read(valueStart, valueBytes));
      if (frames.at(-1)?.frameIndex === frameIndex) frames.push({ ...set, ...frames.pop()! });
      else frames.push({ frameIndex, ...set });
    }
  }
  return { frames, refusals: [] };
}

function judged(set: FrameSet, context: TelemetryContext) {
  const stated: readonly (readonly [BoundedFact, number | undefined])[] = [
    ['exposureSeconds', exposureOf(set, context.framesPerSecond)],
    ['fNumber', set.fNumber === undefined ? undefined : roundedFNumber(set.fNumber)],
    ['iso', set.iso],
    ['recordedFilterStops', set.recordedFilterStops],
  ];
  const facts: Partial<Record<BoundedFact, number>> = {};
  const refused: Refusal[] = [];
  for (const [fact, value] of stated) {
    if (value === undefined) continue;
    const result = judgedNumber(fact, { value, raw: String(value), source: context.source });
    if (result.value !== undefined) facts[fact] = result.value;
    if (result.refusal !== undefined) refused.push(result.refusal);
  }
  return { facts, refused };
}

/** One step of the stored number is 0.00008 of the f-number: digits beyond the fourth are not the lens's. */
function roundedFNumber(value: number): number {
  return Number(value.toPrecision(4));
}

/** What is set once and holds: the wheel, the rate, the white balance; the value that most frames have counts. */
function clipWide(
  frames: readonly FrameSet[],
  source: string,
): { sightings: FactSighting[]; refusals: Refusal[] } {
  const refusals: Refusal[] = [];
  const see = <T>(what: string, values: readonly T[], show: (value: T) => string): T | undefined => {
    const counts = new Map<string, { readonly value: T; readonly count: number }>();
    for (const value of values) {
      const name = show(value);
      counts.set(name, { value, count: (counts.get(name)?.count ?? 0) + 1 });
    }
    const [most, ...others] = [...counts.values()].sort((a, b) => b.count - a.count);
    for (const { value, count } of others.slice(0, 3)) {
      const raw = `${show(value)} in ${count} of ${values.length} frames`;
      refusals.push({ what, raw, source, reason: `is not what most frames have: ${show(most!.value)}` });
    }
    return most?.value;
  };
  const of = <N extends keyof Acquisition>(name: N) => frames.flatMap((frame) => frame[name] ?? []);
  const stops = see('recordedFilterStops', of('recordedFilterStops') as number[], String);
  const kelvin = see('whiteBalance', of('whiteBalanceKelvin') as number[], (value) => `${value} K`);
  const rate = see(
    'frameRate',
    frames.flatMap(({ captureRate }) => captureRate ?? []),
    (value) => String(framesPerSecond(value)),
  );
  return {
    sightings: [
      ...(stops === undefined
        ? []
        : [sighting('recordedFilterStops', stops, 'timed-track', `${source}, ND wheel`)]),
      ...(kelvin === undefined
        ? []
        : [sighting('whiteBalance', `${kelvin} K`, 'timed-track', `${source}, white balance`)]),
      ...(rate === undefined ? [] : [sighting('frameRate', rate, 'timed-track', `${source}, capture rate`)]),
    ],
    refusals,
  };
}

function tooMany(source: string): Refusal {
  const reason = `more than ${maxPackets} parts; only the beginning was read`;
  return { what: 'telemetry', raw: 'MXF', source, reason };
}

function noRate(count: number, source: string): Refusal {
  const reason = 'cannot be placed in time, for the frame rate is not known';
  return { what: 'telemetry', raw: `sets of ${count} frames`, source, reason };
}
