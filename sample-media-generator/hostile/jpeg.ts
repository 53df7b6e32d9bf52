import { hex, latin1, repeated, u16Le, u32, u32Le, utf8 } from '../carriers/bytes.ts';
import {
  directory,
  exifBlock,
  exifSegment,
  jpegSegment,
  rational,
  short,
  text,
  tiffHeader,
  withSegments,
  type ExifFacts,
  type TiffEntry,
} from '../carriers/exifBlock.ts';
import type { Expected, HostileMaker, Materials } from './cases.ts';
import { fileCase, sparseCase } from './files.ts';
import { description } from './xmlPackets.ts';

const GOOD: ExifFacts = { exposure: [1, 240], fNumber: 2.8, iso: 100, recordedAt: '2025:05:06 07:08:09' };

function still(
  at: string,
  what: string,
  expect: Expected,
  content: (materials: Materials) => Buffer,
): HostileMaker {
  return fileCase({ at, what, kind: 'still', expect }, content);
}

function tagged(facts: Partial<ExifFacts>): (materials: Materials) => Buffer {
  return ({ bareStill }) => withSegments(bareStill, exifSegment(exifBlock({ ...GOOD, ...facts })));
}

/** A minimal Exif block: an empty directory. */
const EMPTY_BLOCK = exifSegment(Buffer.concat([tiffHeader(8), u16Le(0), u32Le(0), Buffer.alloc(32)]));

const EXTENSION_NAME = latin1('http://ns.adobe.com/xmp/extension/\0');
const GUID = '0123456789ABCDEF0123456789ABCDEF';

interface Extension {
  readonly guid?: string;
  readonly totalBytes: number;
  readonly offset: number;
  readonly part: string;
}

/** A part of extended XMP: GUID, full length, offset, text (Adobe XMP specification part 3). */
function extension({ guid = GUID, totalBytes, offset, part }: Extension): Buffer {
  return jpegSegment(
    0xe1,
    Buffer.concat([EXTENSION_NAME, latin1(guid), u32(totalBytes), u32(offset), utf8(part)]),
  );
}

function withExtendedXmp(...parts: readonly Extension[]): (materials: Materials) => Buffer {
  const main = description(`xmlns:xmpNote="http://ns.adobe.com/xmp/note/" xmpNote:HasExtendedXMP="${GUID}"`);
  const mainSegment = jpegSegment(0xe1, utf8(`http://ns.adobe.com/xap/1.0/\0${main}`));
  return (materials) => withSegments(materials.still, mainSegment, ...parts.map(extension));
}

const EXTRA = description('exif:ExposureTime="1/7"');

/**
 * The date's last ten bytes would lie behind the block; the comment segment behind it begins so that they look like
 * digits to a reader that does not stop.
 */
function valueBeyondBlock({ bareStill }: Materials): Buffer {
  const entries = [text(0x132, '2025:05:06 07:08:09')];
  const cut = Buffer.concat([tiffHeader(8), directory(entries, 8)]);
  const block = cut.subarray(0, cut.length - 10);
  return withSegments(bareStill, exifSegment(block), jpegSegment(0xfe, latin1('07:59:59\0 1/7 F9 ISO 77')));
}

/** Exposure time whose eight bytes lie behind the block altogether. */
function exposureBeyondBlock({ bareStill }: Materials): Buffer {
  const whole = Buffer.concat([tiffHeader(8), directory([rational(0x829a, 1, 240)], 8)]);
  return withSegments(
    bareStill,
    exifSegment(whole.subarray(0, -8)),
    jpegSegment(0xfe, hex('00000001000000F0')),
  );
}

/** The start-of-frame segment with the largest size that it can name. */
function hugeFrame({ still: jpeg }: Materials): Buffer {
  const bytes = Buffer.from(jpeg);
  for (let at = 2; at + 4 < bytes.length; at += 2 + bytes.readUInt16BE(at + 2)) {
    const marker = bytes[at + 1]!;
    if (marker !== 0xc0 && marker !== 0xc2) continue;
    bytes.writeUInt32BE(0xffffffff, at + 5);
    return bytes;
  }
  throw new Error('the still must have a start-of-frame segment');
}

const rationalEntry = (tag: number, pairs: readonly (readonly [number, number])[], type = 5): TiffEntry => ({
  tag,
  type,
  count: pairs.length,
  value: Buffer.concat(pairs.flat().map(u32Le)),
});

const nothing = 'audited-with-refusals';

/** Cases that hold no exposure time that one could believe. */
const NO_EXPOSURE = ['0008', '0009', '0010', '0011', '0013', '0014', '0015', '0020', '0021', '0027'];

const makers: readonly HostileMaker[] = [
  still('JPEG0001.JPG', '2 million empty segments', 'any', ({ still: jpeg }) =>
    withSegments(jpeg, repeated(hex('FFE50002'), 2_000_000)),
  ),
  still('JPEG0002.JPG', '8 MB of filling bytes', 'any', ({ still: jpeg }) =>
    withSegments(jpeg, Buffer.alloc(8_000_000, 0xff)),
  ),
  still('JPEG0003.JPG', '20,000 Exif blocks', 'any', ({ still: jpeg }) =>
    withSegments(jpeg, repeated(EMPTY_BLOCK, 20_000)),
  ),
  still(
    ...(['JPEG0004.JPG', 'extended XMP that claims 4 GB', nothing] as const),
    withExtendedXmp({ totalBytes: 0xffffffff, offset: 0, part: EXTRA }),
  ),
  still(
    ...(['JPEG0005.JPG', 'extended XMP whose second part is missing', nothing] as const),
    withExtendedXmp({ totalBytes: EXTRA.length + 500, offset: 0, part: EXTRA }),
  ),
  still(
    ...(['JPEG0006.JPG', 'extended XMP of another picture', nothing] as const),
    withExtendedXmp({ guid: '0'.repeat(32), totalBytes: EXTRA.length, offset: 0, part: EXTRA }),
  ),
  still(
    ...(['JPEG0007.JPG', 'extended XMP whose part lies behind its end', nothing] as const),
    withExtendedXmp({ totalBytes: EXTRA.length, offset: 0xfffffff0, part: EXTRA }),
  ),
  still('JPEG0008.JPG', 'nothing at all', 'problem', () => Buffer.alloc(0)),
  still('JPEG0009.JPG', 'one byte', 'problem', () => hex('FF')),
  still('JPEG0010.JPG', 'a start of image and no more', 'problem', () => hex('FFD8')),
  sparseCase({ at: 'JPEG0011.JPG', what: '100 MB of zeros', kind: 'still', expect: 'problem' }, () => [
    { hole: 100_000_000 },
  ]),
  sparseCase(
    { at: 'JPEG0012.JPG', what: 'a good still with 3 GB of zeros behind it', kind: 'still', expect: 'any' },
    ({ still: jpeg }) => [jpeg, { hole: 3e9 }],
  ),
  still('JPEG0013.JPG', 'an exposure of 136 years', nothing, tagged({ exposure: [0xffffffff, 1] })),
  still('JPEG0014.JPG', 'an exposure of no time and f/0', nothing, tagged({ exposure: [0, 1], fNumber: 0 })),
  still(
    'JPEG0015.JPG',
    'rationals 0/0 and 1/0',
    nothing,
    tagged({ exposure: [0, 0], more: [rational(0x920a, 1, 0)] }),
  ),
  still('JPEG0016.JPG', 'ISO 65535 without another tag that says more', 'any', tagged({ iso: 65535 })),
  still('JPEG0017.JPG', 'a date of blanks', 'audited', tagged({ recordedAt: '    :  :     :  :  ' })),
  still('JPEG0018.JPG', 'a date of zeros', 'audited', tagged({ recordedAt: '0000:00:00 00:00:00' })),
  still('JPEG0019.JPG', 'a date that no calendar has', 'any', tagged({ recordedAt: '2025:13:45 27:08:99' })),
  still('JPEG0020.JPG', 'a date that runs on into the next segment', 'any', valueBeyondBlock),
  still('JPEG0021.JPG', 'an exposure whose bytes lie in the next segment', 'any', exposureBeyondBlock),
  still('JPEG0022.JPG', 'a picture of 65535 by 65535', 'any', hugeFrame),
  still('JPEG0023.JPG', 'a picture that ends in its first tenth', 'any', ({ still: jpeg }) =>
    jpeg.subarray(0, jpeg.length / 10),
  ),
  still(
    ...(['JPEG0024.JPG', 'terminal codes, a formula and a piece of a page in its tags', 'audited'] as const),
    tagged({ more: [text(0xa434, '\u001B[2J=1+1'), text(0xa433, '<script>alert(1)</script>')] }),
  ),
  still(
    ...(['JPEG0025.JPG', 'a bias of the unsigned type', 'any'] as const),
    tagged({ more: [rationalEntry(0x9204, [[0xffffffff, 3]])] }),
  ),
  still('JPEG0026.JPG', 'two Exif blocks that disagree', 'audited', (materials) =>
    withSegments(
      materials.still,
      exifSegment(exifBlock({ ...GOOD, exposure: [1, 30], more: [short(0x8822, 2)] })),
    ),
  ),
  still('JPEG0027.JPG', 'an Exif block of zeros', 'any', ({ bareStill }) =>
    withSegments(bareStill, exifSegment(Buffer.alloc(60_000))),
  ),
];

export const jpegCases: readonly HostileMaker[] = makers.map((maker) =>
  NO_EXPOSURE.includes(maker.at.toString().slice(4, 8)) ? { ...maker, noExposure: true } : maker,
);
