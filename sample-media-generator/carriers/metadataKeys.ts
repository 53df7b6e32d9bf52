import { writeFile } from 'node:fs/promises';
import { f32, f64, u32, utf8 } from './bytes.ts';
import { frameSteps, testClipBytes } from './baseClip.ts';
import { box, fullBox, handlerBox, withBoxesInMoov } from './isoBoxes.ts';
import { keyName } from './metadataTrack.ts';
import type { CarrierMaker, ClipFacts } from './truth.ts';

/** A key and its value with its well-known type: 1 UTF-8, 23 float32, 24 float64, 77 uint32. */
interface KeyValue {
  readonly name: string;
  readonly type: number;
  readonly value: Buffer;
}

const words = (name: string, value: string): KeyValue => ({ name, type: 1, value: utf8(value) });

/** `moov/meta` with handler `mdta`, either as QuickTime writes it or as the full box of ISO/IEC 14496-12. */
export function metadataKeys(keys: readonly KeyValue[], form: 'quicktime' | 'iso' = 'quicktime'): Buffer {
  const names = keys.map(({ name }) => {
    const bytes = keyName(name);
    return Buffer.concat([u32(bytes.length + 4), bytes]);
  });
  const values = keys.map(({ type, value }, index) =>
    box(u32(index + 1).toString('latin1'), box('data', u32(type), u32(0), value)),
  );
  const parts = [
    handlerBox('mdta', ''),
    fullBox('keys', 0, 0, u32(keys.length), Buffer.concat(names)),
    box('ilst', Buffer.concat(values)),
  ];
  return form === 'iso' ? fullBox('meta', 0, 0, ...parts) : box('meta', ...parts);
}

/** The documented key for a capture rate that is not the playback rate. */
export function captureRateKey(framesPerSecond: number): KeyValue {
  return { name: 'com.android.capture.fps', type: 23, value: f32(framesPerSecond) };
}

const EXPOSURE = [
  words('org.aeroform.camera.exposure-time', '1/240'),
  { name: 'org.aeroform.camera.f-number', type: 23, value: f32(2.8) },
  { name: 'org.aeroform.camera.iso', type: 77, value: u32(100) },
];

const PLACE_AND_TIME = [
  words('com.apple.quicktime.location.ISO6709', '-47.2063-126.7125+093.500/'),
  words('com.apple.quicktime.creationdate', '2025-05-06T07:08:09+0200'),
];

interface KeysClip {
  readonly file: string;
  readonly what: string;
  readonly keys: readonly KeyValue[];
  readonly form?: 'quicktime' | 'iso';
  readonly clip: ClipFacts;
}

function keysClip({ file, what, keys, form, clip }: KeysClip): CarrierMaker {
  return {
    file,
    make: async (path, ffmpeg) => {
      await writeFile(path, withBoxesInMoov(await testClipBytes(ffmpeg, path), metadataKeys(keys, form)));
      return { carrier: 'metadata-keys', what, frames: frameSteps.length, clip, samples: [] };
    },
  };
}

const exposureFacts: ClipFacts = { exposureSeconds: 1 / 240, fNumber: 2.8, iso: 100 };
const placeFacts: ClipFacts = {
  latitude: -47.2063,
  longitude: -126.7125,
  altitudeMetres: 93.5,
  recordedAt: '2025-05-06T07:08:09+02:00',
};

export const keysClips: readonly CarrierMaker[] = [
  {
    file: 'KEYS0001.MOV',
    what: 'QuickTime metadata keys: exposure, capture rate, place, time',
    keys: [...EXPOSURE, captureRateKey(24), ...PLACE_AND_TIME],
    clip: { ...exposureFacts, captureFramesPerSecond: 24, ...placeFacts },
  },
  {
    file: 'KEYS0002.MP4',
    what: 'the same keys in the full box of ISO/IEC 14496-12',
    keys: [...EXPOSURE, captureRateKey(24), ...PLACE_AND_TIME],
    form: 'iso' as const,
    clip: { ...exposureFacts, captureFramesPerSecond: 24, ...placeFacts },
  },
  {
    file: 'KEYS0003.MP4',
    what: 'capture rate as text, exposure as float64',
    keys: [
      words('com.android.capture.fps', '24.000000'),
      { name: 'org.aeroform.camera.exposure-time', type: 24, value: f64(1 / 240) },
    ],
    clip: { exposureSeconds: 1 / 240, captureFramesPerSecond: 24 },
  },
].map(keysClip);
