import { writeFile } from 'node:fs/promises';
import { f32Le, f64Le, i32Le, u16Le } from './bytes.ts';
import { CLIP_SECONDS, FRAMES_PER_SECOND, PLACE, frameSteps, testClipBytes } from './baseClip.ts';
import { withMetadataTrack, type TrackSampleBytes } from './metadataTrack.ts';
import type { CarrierMaker, ExposureSample } from './truth.ts';

// Camera motion metadata: each sample is a reserved 16-bit zero, a 16-bit type and the payload, all little-endian.
// Type 1: exposure and rolling-shutter skew in nanoseconds. Type 6: a full position. (The published specification.)

const SKEW_SECONDS = 0.011;
const NANOSECONDS = 1e9;

function exposurePacket(exposureSeconds: number): Buffer {
  const nanoseconds = [exposureSeconds, SKEW_SECONDS].map((seconds) =>
    i32Le(Math.round(seconds * NANOSECONDS)),
  );
  return Buffer.concat([u16Le(0), u16Le(1), ...nanoseconds]);
}

/** 2025-05-06 07:08:09 UTC counted from 1980-01-06, without leap seconds. */
const GPS_SECONDS = Date.UTC(2025, 4, 6, 7, 8, 9) / 1000 - Date.UTC(1980, 0, 6) / 1000;

function positionPacket(seconds: number): Buffer {
  const { latitude, longitude, altitudeMetres } = PLACE;
  const accuracies = [1.5, 2.5];
  const velocities = [3, -4, 0.5];
  return Buffer.concat([
    u16Le(0),
    u16Le(6),
    f64Le(GPS_SECONDS + seconds),
    i32Le(3),
    f64Le(latitude),
    f64Le(longitude),
    ...[altitudeMetres, ...accuracies, ...velocities, 0.25].map(f32Le),
  ]);
}

/** Every frame its exposure, and a position half a frame after each second. */
function packets(): readonly TrackSampleBytes[] {
  const exposures = frameSteps.map(({ startSeconds, exposureSeconds }) => ({
    startSeconds,
    bytes: exposurePacket(exposureSeconds),
  }));
  const positions = [0, 1].map((second) => ({
    startSeconds: second + 0.5 / FRAMES_PER_SECOND,
    bytes: positionPacket(second),
  }));
  return [...exposures, ...positions].toSorted((a, b) => a.startSeconds - b.startSeconds);
}

export const cammClip: CarrierMaker = {
  file: 'CAMM0001.MP4',
  make: async (path, ffmpeg) => {
    const track = { entryType: 'camm', entryBoxes: [], ticksPerSecond: 48_000, endSeconds: CLIP_SECONDS };
    const clip = await testClipBytes(ffmpeg, path);
    await writeFile(path, withMetadataTrack(clip, { ...track, samples: packets() }));
    return {
      carrier: 'camm',
      what: 'CAMM track: exposure and rolling-shutter skew for every frame, a position for every second',
      frames: frameSteps.length,
      clip: {},
      samples: frameSteps.map(cammSample),
    };
  },
};

function cammSample({
  startSeconds,
  endSeconds,
  exposureSeconds,
}: (typeof frameSteps)[number]): ExposureSample {
  const sample = { startSeconds, endSeconds, exposureSeconds, rollingShutterSkewSeconds: SKEW_SECONDS };
  return startSeconds % 1 === 0 ? { ...sample, ...PLACE } : sample;
}
