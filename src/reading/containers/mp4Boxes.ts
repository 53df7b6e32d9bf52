import type { Refusal } from '../../domain/recording.ts';
import type { ByteSource } from './byteSource.ts';
import { childBoxes, firstOfType, isoBoxes, type IsoBox } from './isoBoxes.ts';
import { maxXmpBytes } from './metadataBounds.ts';

export interface Mp4Contents {
  readonly xmp: readonly Uint8Array[];
  readonly refusals: readonly Refusal[];
  /** The movie's index; without it no frame can be found. */
  readonly moov?: IsoBox;
  /** Set where the index is not among as many boxes as were looked at, and more follow. */
  readonly isCrowded: boolean;
  /** Set where the last box claims more bytes than the file has left: how many are missing. */
  readonly missingBytes?: number;
}

// XMP specification part 3 (Adobe, 2020), MPEG-4: a uuid box of this type at the top level.
const xmpUserType = 'be7acfcb97a942e89c71999491e3afac';
// A fragmented recording has two boxes a fragment.
const maxTopBoxes = 4096;

/** Looks at the boxes of an MP4 or MOV, two levels down at most; undefined where it is none. */
export function mp4Contents(source: ByteSource): Mp4Contents | undefined {
  if (!isMp4(source)) return undefined;
  const { boxes } = isoBoxes(source, 0, source.sizeBytes, maxTopBoxes);
  const moov = firstOfType(boxes, 'moov');
  const isCrowded = boxes.length === maxTopBoxes && moov === undefined;
  const packets = [
    ...boxes.filter(({ userType }) => userType === xmpUserType),
    ...quickTimeXmp(source, moov),
  ];
  const fits = packets.filter((box) => box.end - box.bodyStart <= maxXmpBytes);
  const missingBytes = missing(source, boxes.at(-1)?.end ?? 0);
  return {
    xmp: fits.map((box) => source.read(box.bodyStart, box.end - box.bodyStart)),
    refusals: packets.filter((box) => !fits.includes(box)).map(tooLarge),
    moov,
    isCrowded,
    missingBytes,
  };
}

function isMp4(source: ByteSource): boolean {
  return ['ftyp', 'moov', 'mdat', 'wide', 'free', 'skip', 'pnot', 'styp', 'uuid'].includes(typeAt(source, 4));
}

/** The same specification for QuickTime: a box called XMP_ in the movie's user data. */
function quickTimeXmp(source: ByteSource, moov: IsoBox | undefined): readonly IsoBox[] {
  const userData = childBoxes(source, moov).filter(({ type }) => type === 'udta');
  return userData.flatMap((box) => childBoxes(source, box)).filter(({ type }) => type === 'XMP_');
}

/** How many bytes the box at the end of the walk claims beyond the end of the file. */
function missing(source: ByteSource, walkedTo: number): number | undefined {
  if (walkedTo + 8 > source.sizeBytes || !/^[a-z]{4}$/.test(typeAt(source, walkedTo + 4))) return undefined;
  const head = source.read(walkedTo, 16);
  const small = head.readUInt32BE(0);
  const size = small === 1 && head.length === 16 ? Number(head.readBigUInt64BE(8)) : small;
  const left = source.sizeBytes - walkedTo;
  return size > left && Number.isSafeInteger(size) ? size - left : undefined;
}

function typeAt(source: ByteSource, offset: number): string {
  return source.read(offset, 4).toString('latin1');
}

function tooLarge(box: IsoBox): Refusal {
  const raw = `${box.end - box.bodyStart} bytes`;
  return { what: 'XMP', raw, source: 'XMP in the clip', reason: `is larger than ${maxXmpBytes} bytes` };
}
