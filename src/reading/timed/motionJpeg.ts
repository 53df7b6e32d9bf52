import type { Refusal, TrackSample } from '../../domain/recording.ts';
import { partSource, type ByteSource } from '../../containers/byteSource.ts';
import { jpegContents } from '../../containers/jpeg.ts';
import type { SamplePlace } from '../../containers/mp4Tracks.ts';
import { readExif } from '../exif.ts';
import { isBounded } from '../recordedNumber.ts';
import { emptyReading, type FactSighting, type Reading } from '../sighting.ts';
import type { TelemetryContext } from '../telemetryPairs.ts';
import { heldUntilNext, keepRefusals, trackReading } from './trackReading.ts';

// A clip whose first frames carry no EXIF carries none.
const framesTried = 3;
/** Half an hour at 30 frames/s. */
export const maxFrames = 54_000;
// Some containers say where the packet's own header lies; the picture begins a few bytes behind.
const maxHeaderBytes = 64;
const startOfImage = Buffer.from([0xff, 0xd8, 0xff]);
const maxHeadBytes = 131_072;

/** Reads the EXIF block in each frame of a motion-JPEG clip; a frame's place may be that of its packet. */
export async function readMotionJpeg(
  source: ByteSource,
  frames: readonly SamplePlace[],
  context: TelemetryContext,
): Promise<Reading> {
  const samples: TrackSample[] = [];
  const refusals: Refusal[] = [];
  const clipWide: FactSighting[] = [];
  let last: { readonly key: string; readonly reading: Reading } | undefined;
  for (const [at, { startSeconds, endSeconds, ...place }] of frames.slice(0, maxFrames).entries()) {
    if (at === framesTried && samples.length === 0) return emptyReading;
    const block = exifBlock(source, place);
    if (block === undefined) continue;
    const key = block.read(0, block.sizeBytes).toString('latin1');
    // A camera on manual writes the same block thousands of times, but for the time in it.
    if (last?.key !== key) last = { key, reading: await readExif(block) };
    const { sightings, refusals: refused } = last.reading;
    const facts = Object.fromEntries(
      sightings.flatMap(({ fact, value }) => (isBounded(fact) ? [[fact, value]] : [])),
    );
    if (samples.length === 0) clipWide.push(...sightings.filter(({ fact }) => !isBounded(fact)));
    if (Object.keys(facts).length > 0) samples.push({ startSeconds, endSeconds, ...facts });
    keepRefusals(refusals, refused);
  }
  if (frames.length > maxFrames) {
    const reason = `only the first ${maxFrames} frames were read`;
    refusals.push({ what: 'telemetry', raw: `${frames.length} frames`, source: context.source, reason });
  }
  const reading = trackReading(heldUntilNext(samples), refusals, context);
  return { ...reading, sightings: [...reading.sightings, ...clipWide] };
}

function exifBlock(
  source: ByteSource,
  { offset, sizeBytes }: Pick<SamplePlace, 'offset' | 'sizeBytes'>,
): ByteSource | undefined {
  const within = source.read(offset, maxHeaderBytes).indexOf(startOfImage);
  if (within < 0) return undefined;
  const frame = partSource(source, offset + within, Math.min(sizeBytes, maxHeadBytes));
  return jpegContents(frame).exif[0];
}
