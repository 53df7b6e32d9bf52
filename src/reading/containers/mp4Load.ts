import type { ByteSource } from './byteSource.ts';
import { childBoxes, firstOfType, type IsoBox } from './isoBoxes.ts';
import { hasTooManyKeys } from './mp4Keys.ts';
import { mp4Tracks } from './mp4Tracks.ts';

// Two hours at 2,000 frames a second. A program sets up an index for every sample that is claimed: 50 million of
// them, in a file of 80 KB, cost it more than a gigabyte.
const mostSamples = 16_000_000;

/** Whether a movie's index claims so much that a program which reads it needs minutes or gigabytes. */
export function isOverloaded(source: ByteSource, moov: IsoBox): boolean {
  if (hasTooManyKeys(source, moov)) return true;
  return mp4Tracks(source, moov)
    .filter(({ handler }) => handler !== 'soun') // Plain sound counts every instant as a sample.
    .some(({ sampleTable }) => claimedSamples(source, sampleTable) > mostSamples);
}

/** ISO/IEC 14496-12, 8.7.3: in both forms of the box, the count stands behind the size. */
function claimedSamples(source: ByteSource, sampleTable: IsoBox): number {
  const boxes = childBoxes(source, sampleTable);
  const sizes = firstOfType(boxes, 'stsz') ?? firstOfType(boxes, 'stz2');
  const count = sizes === undefined ? Buffer.alloc(0) : source.read(sizes.bodyStart + 8, 4);
  return count.length === 4 ? count.readUInt32BE(0) : 0;
}
