import { writeFile } from 'node:fs/promises';
import { runFfmpeg } from '../encode.ts';
import { EXACT, FRAME_COUNT, H264, encodeTestClip, testClipBytes } from './baseClip.ts';
import { withBoxesInMoov } from './isoBoxes.ts';
import { captureRateKey, metadataKeys } from './metadataKeys.ts';
import type { CarrierMaker, CarrierTruth, ClipFacts } from './truth.ts';
import { exposureXmp, xmpUuidBox } from './xmpCarriers.ts';

/** A clip whose capture rate (a metadata key) is not its playback rate; its exposure stands in XMP. */
function retimedClip(file: string, what: string, { capture, playback, denominator }: Retiming): CarrierMaker {
  return {
    file,
    make: async (path, ffmpeg) => {
      const clip = await testClipBytes(ffmpeg, path, [
        '-vf',
        `settb=1/${playback},setpts=N`,
        '-r',
        String(playback),
      ]);
      const keyed = withBoxesInMoov(clip, metadataKeys([captureRateKey(capture)]));
      const packet = exposureXmp({ exposure: `1/${denominator}`, fNumber: '28/10', iso: 100 });
      await writeFile(path, Buffer.concat([keyed, xmpUuidBox(packet)]));
      const exposure = { exposureSeconds: 1 / denominator, fNumber: 2.8, iso: 100 };
      const facts = { ...exposure, captureFramesPerSecond: capture, playbackFramesPerSecond: playback };
      return timingTruth(what, facts);
    },
  };
}

interface Retiming {
  readonly capture: number;
  readonly playback: number;
  readonly denominator: number;
}

function timingTruth(what: string, clip: ClipFacts, frames = FRAME_COUNT): Omit<CarrierTruth, 'file'> {
  return { carrier: 'timing', what, frames, clip, samples: [] };
}

const FROM_60 = ['-f', 'lavfi', '-i', 'testsrc2=size=160x90:rate=60:duration=2'];

/** Of 60 frames a second, the first second keeps every second one and the second keeps every fifth: 30 + 12. */
const variableRateClip: CarrierMaker = {
  file: 'RATE0001.MP4',
  make: async (path, ffmpeg) => {
    const keep = "select='if(lt(n,60),not(mod(n,2)),not(mod(n,5)))'";
    await runFfmpeg(ffmpeg, [...FROM_60, '-vf', keep, '-vsync', 'vfr', ...H264, ...EXACT, `file:${path}`]);
    return timingTruth('30 frames/s for a second, then 12 frames/s', { variableFrameRate: true }, 42);
  },
};

/** Twelve pictures a second, each shown twice. */
const repeatingClip: CarrierMaker = {
  file: 'RATE0002.MP4',
  make: async (path, ffmpeg) => {
    await encodeTestClip(ffmpeg, path, ['-vf', 'fps=12,fps=24']);
    const facts = { playbackFramesPerSecond: 24, repeatedFrameFraction: 0.5 };
    return timingTruth('every second frame repeats the one before', facts);
  },
};

function timecodeClip(file: string, timecode: string, rate: string): CarrierMaker {
  return {
    file,
    make: async (path, ffmpeg) => {
      await encodeTestClip(ffmpeg, path, ['-vf', `fps=${rate}`, '-timecode', timecode]);
      const what = `start timecode ${timecode} at ${rate} frames/s in a tmcd track`;
      const frames = rate === '24' ? FRAME_COUNT : 60;
      return { carrier: 'timecode', what, frames, clip: { startTimecode: timecode }, samples: [] };
    },
  };
}

const locationClip: CarrierMaker = {
  file: 'LOCN0001.MP4',
  make: async (path, ffmpeg) => {
    await encodeTestClip(ffmpeg, path, ['-metadata', 'location=-47.2063-126.7125+093.500/']);
    const clip = { latitude: -47.2063, longitude: -126.7125, altitudeMetres: 93.5 };
    return {
      carrier: 'location',
      what: 'ISO 6709 text in user data',
      frames: FRAME_COUNT,
      clip,
      samples: [],
    };
  },
};

export const timingClips: readonly CarrierMaker[] = [
  retimedClip('SLOW0001.MP4', 'taken at 120 frames/s, played at 30', {
    capture: 120,
    playback: 30,
    denominator: 240,
  }),
  retimedClip('LAPS0001.MP4', 'one frame taken every 2 s, played at 24', {
    capture: 0.5,
    playback: 24,
    denominator: 50,
  }),
  variableRateClip,
  repeatingClip,
  timecodeClip('TMCD0001.MOV', '01:02:03:04', '24'),
  timecodeClip('TMCD0002.MP4', '01:02:03;04', '30000/1001'),
  locationClip,
];
