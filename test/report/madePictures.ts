import type { RecordingPictures, SmallPicture } from '../../src/domain/measurement.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';

/** A whole WebP of 1 by 1 pixel (RIFF container with a lossless bitstream), filled up behind its end to a size. */
function webp(sizeBytes: number): Uint8Array {
  const picture = Buffer.from('UklGRhwAAABXRUJQVlA4TA8AAAAvAAAAAAcQ/Y/+ByKi/wEA', 'base64');
  return Buffer.concat([picture, Buffer.alloc(Math.max(0, sizeBytes - picture.length))]);
}

/** Pictures of the size that real ones may have at most. */
export function heavyPictures(recordings: readonly ReportedRecording[]): readonly RecordingPictures[] {
  const small = (sizeBytes: number): SmallPicture => ({
    atSeconds: 1,
    width: 176,
    height: 99,
    type: 'image/webp',
    sizeBytes,
    bytes: webp(sizeBytes),
  });
  return recordings.map(({ path }) => ({
    path,
    frames: Array.from({ length: 6 }, () => small(4_500)),
    burnt: { ...small(12_000), sizeBytes: 20_000, stripes: Buffer.alloc(8_000), stripesType: 'image/png' },
  }));
}
