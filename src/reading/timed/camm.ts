import type { Refusal, TrackSample } from '../../domain/recording.ts';
import { judgedNumbers, type JudgedNumbers } from '../recordedNumber.ts';
import type { Reading } from '../sighting.ts';
import type { TelemetryContext } from '../telemetryPairs.ts';
import { heldUntilNext, keepRefusals, trackReading, type TimedBytes } from './trackReading.ts';

// Camera Motion Metadata, the published specification (from memory, checked against a general-purpose reader). All
// little-endian: 16 bits reserved, 16 bits type, then by type
//   1  int32 exposure time and int32 rolling-shutter skew, both in nanoseconds
//   5  float64 latitude, longitude (degrees), altitude (metres)
//   6  float64 time, int32 kind of fix (0 none, 2 without altitude, 3 with), float64 latitude, longitude, float32
//      altitude, and more that is not read here
// The other types hold turning and acceleration.
const headBytes = 4;
const nanosecond = 1e-9;

/** What one packet says; empty for the types that are not read and for packets that are too short for theirs. */
function statedIn(type: number | undefined, body: Buffer): JudgedNumbers['facts'] {
  if (type === 1 && body.length >= 8)
    return {
      exposureSeconds: body.readInt32LE(0) * nanosecond,
      rollingShutterSkewSeconds: body.readInt32LE(4) * nanosecond,
    };
  if (type === 5 && body.length >= 24)
    return {
      latitude: body.readDoubleLE(0),
      longitude: body.readDoubleLE(8),
      altitudeMetres: body.readDoubleLE(16),
    };
  const fix = type === 6 && body.length >= 32 ? body.readInt32LE(8) : 0;
  if (fix !== 2 && fix !== 3) return {};
  const altitudeMetres = fix === 3 ? body.readFloatLE(28) : undefined;
  return { latitude: body.readDoubleLE(12), longitude: body.readDoubleLE(20), altitudeMetres };
}

/** Reads the packets of a CAMM track: exposures hold until the next exposure, positions join the frame they fall in. */
export function parseCamm(packets: Iterable<TimedBytes>, context: TelemetryContext): Reading {
  const exposures: TrackSample[] = [];
  const points: TrackSample[] = [];
  const refusals: Refusal[] = [];
  for (const { startSeconds, endSeconds, bytes } of packets) {
    const type = bytes.length < headBytes ? undefined : bytes.readUInt16LE(2);
    const { facts, refusals: refused } = judgedNumbers(
      statedIn(type, bytes.subarray(headBytes)),
      context.source,
    );
    keepRefusals(refusals, refused);
    if (Object.keys(facts).length > 0)
      (type === 1 ? exposures : points).push({ startSeconds, endSeconds, ...facts });
  }
  return trackReading(withPoints(heldUntilNext(exposures), points), refusals, context);
}

/** Adds to each sample the first point that was taken while it held; points alone become samples themselves. */
function withPoints(samples: readonly TrackSample[], points: readonly TrackSample[]): TrackSample[] {
  if (samples.length === 0) return heldUntilNext(points);
  const sorted = points.toSorted((a, b) => a.startSeconds - b.startSeconds);
  let next = 0;
  return samples.map((sample) => {
    while (sorted[next] !== undefined && sorted[next]!.startSeconds < sample.startSeconds) next++;
    const point = sorted[next];
    if (point === undefined || point.startSeconds >= sample.endSeconds) return sample;
    const { startSeconds, endSeconds } = sample;
    return { ...point, ...sample, startSeconds, endSeconds };
  });
}
