import { parseFrameRate, type FrameRate } from '../domain/frameRate.ts';
import type { FactName, FactValues, Refusal } from '../domain/recording.ts';
import type { Probed, ProbedStream } from './ffprobeJson.ts';
import {
  canBeInFields,
  fieldsSource,
  framesOf,
  rateInFields,
  rateOfFieldHeader,
  type FirstFrames,
} from './fields.ts';
import { sighting, type FactSighting, type Reading } from './sighting.ts';
import { durationSeconds, frameCount } from './streamFacts.ts';
import { fewestGaps, rateFromTimes, rateOfHeader, statedRate, type StatedRate } from './streamRate.ts';

/** All that the header says of a stream's rate. */
export function statedOf(stream: ProbedStream, probed: Probed): StatedRate {
  const count = frameCount(stream);
  const duration = durationSeconds(stream, probed);
  // High-speed cameras count frames and write the rate, far above what other clips have; there are no times to ask.
  const recorded =
    probed.format?.format_name === 'cine' ? parseFrameRate(stream.r_frame_rate ?? '') : undefined;
  return {
    recorded,
    average: stream.avg_frame_rate ?? '0/0',
    base: stream.r_frame_rate ?? '0/0',
    frameCount: count,
    durationSeconds: duration,
  };
}

/** One tick of the stream's clock, to which its times are rounded. */
export function tickSeconds({ time_base: base = '' }: ProbedStream): number | undefined {
  const [, numerator, denominator] = /^(\d{1,10})\/(\d{1,10})$/.exec(base) ?? [];
  const seconds = Number(numerator) / Number(denominator);
  return seconds > 0 && Number.isFinite(seconds) ? seconds : undefined;
}

interface FoundRate {
  readonly rate: FrameRate;
  readonly source: string;
}

export interface RateSubject {
  readonly stream: ProbedStream;
  readonly stated: StatedRate;
  readonly first: FirstFrames | undefined;
  /** Whether the rate of capture is known from elsewhere: the stream's is then only the speed of playback. */
  readonly captureKnown: boolean;
}

/** The rate of a stream's frames, and whether they are in fields. */
export function rateFacts(subject: RateSubject): Reading {
  const { stream, first } = subject;
  const fields = fieldsSource(stream, first);
  const found = fields === undefined ? rateOfFrames(subject) : rateOfFrameInFields(subject);
  if (found === undefined) return { sightings: [], refusals: [tooUneven(subject)] };
  const sightings: FactSighting[] = [sighting('playbackFrameRate', found.rate, 'stream', found.source)];
  // A capture rate in a tag replaces the stream's, which is then only the speed of playback.
  if (!subject.captureKnown) sightings.push(sighting('frameRate', found.rate, 'stream', found.source));
  if (fields === undefined) return { sightings, refusals: [] };
  if (!canBeInFields(found.rate)) return { sightings, refusals: [tooFastForFields(fields)] };
  return { sightings: [...sightings, sighting('scan', 'fields', 'stream', fields)], refusals: [] };
}

function tooUneven({ stated: { average, base } }: RateSubject): Refusal {
  return {
    what: 'frameRate',
    raw: `average ${average}, base ${base}`,
    source: 'stream frame rate',
    reason: 'the times of the frames are too uneven for one rate',
  };
}

function tooFastForFields(source: string): Refusal {
  return {
    what: 'scan',
    raw: 'in fields',
    source,
    reason: 'no system in fields has so many frames a second',
  };
}

function rateOfFrames({ stream, stated, first }: RateSubject): FoundRate | undefined {
  const agreed = statedRate(stated);
  if (agreed !== undefined)
    return { rate: agreed, source: agreed === stated.recorded ? 'recorded rate' : 'stream frame rate' };
  const timed = timedRate(stream, first);
  if (timed !== undefined) return timed;
  const timesAreKnown = (first?.timesSeconds.length ?? 0) > fewestGaps;
  const header = timesAreKnown ? undefined : rateOfHeader(stated);
  return header === undefined ? undefined : { rate: header, source: 'stream base rate' };
}

function rateOfFrameInFields({ stream, stated, first }: RateSubject): FoundRate | undefined {
  const agreed = rateInFields(stated);
  if (agreed !== undefined) return { rate: agreed, source: 'stream frame rate' };
  const timed = timedRate(stream, first);
  if (timed !== undefined) return timed;
  const header = rateOfFieldHeader(stated);
  return header === undefined ? undefined : { rate: header, source: 'stream frame rate, two fields a frame' };
}

function timedRate(stream: ProbedStream, first: FirstFrames | undefined): FoundRate | undefined {
  const rate = rateFromTimes(first?.timesSeconds ?? [], tickSeconds(stream));
  return rate === undefined ? undefined : { rate, source: 'times of the first frames' };
}

/** The number of frames, where packets were counted of which each is a field. */
export function countedInFrames(sightings: readonly FactSighting[], rates: Reading): readonly FactSighting[] {
  const rate = valueIn(rates.sightings, 'playbackFrameRate');
  const seconds = valueIn(sightings, 'durationSeconds');
  if (valueIn(rates.sightings, 'scan') === undefined || rate === undefined || seconds === undefined)
    return sightings;
  return sightings.map((one) =>
    one.fact === 'frameCount' ? { ...one, value: framesOf(one.value, seconds, rate) } : one,
  );
}

function valueIn<N extends FactName>(sightings: readonly FactSighting[], fact: N): FactValues[N] | undefined {
  return sightings.find((one) => one.fact === fact)?.value as FactValues[N] | undefined;
}
