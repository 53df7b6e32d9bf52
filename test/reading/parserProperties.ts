import assert from 'node:assert/strict';
import fc from 'fast-check';
import { bytesSource, partSource } from '../../src/containers/byteSource.ts';
import { missingEnd } from '../../src/reading/clip.ts';
import { mp4Contents, mp4Keys } from '../../src/containers/mp4.ts';
import { stillContents } from '../../src/reading/still.ts';
import { readExif } from '../../src/reading/exif.ts';
import { implausible, isBounded } from '../../src/reading/recordedNumber.ts';
import type { FactSighting, Reading } from '../../src/reading/sighting.ts';
import { parseTelemetryText } from '../../src/reading/textTracks.ts';
import { parseXmp } from '../../src/reading/xmp.ts';
import { heifFile, isoBox, isoFullBox, uint } from './isoBoxBytes.ts';
import { mutated } from './mutated.ts';
import { pngFile, rawProfileChunk, rawProfileText } from './pngBytes.ts';
import { bigTiffBlock, exifSegment, fields, jpegFile, tiffBlock } from './tiffBlock.ts';

const le = fields(true);
const be = fields(false);
const block = (make: typeof le, littleEndian: boolean, build = tiffBlock) =>
  build({
    littleEndian,
    main: [make.ascii(0x010f, 'Aero'), make.ascii(0x0110, 'One'), make.short(0x0112, 6)],
    exif: [
      make.rational(0x829a, 1, 50),
      make.rational(0x829d, 28, 10),
      make.short(0x8827, 400),
      make.signedRational(0x9204, -1, 3),
      make.ascii(0x9003, '2026:05:14 07:08:09'),
      make.ascii(0x9011, '+02:00'),
      make.rational(0x920a, 24, 1),
    ],
    gps: [
      make.ascii(0x01, 'N'),
      make.rational(0x02, 47, 1, 30, 1, 36, 1),
      make.ascii(0x03, 'E'),
      make.rational(0x04, 8, 1, 15, 1, 0, 1),
      make.byte(0x05, 0),
      make.rational(0x06, 125, 10),
      make.rational(0x07, 5, 1, 8, 1, 9, 1),
      make.ascii(0x1d, '2026:05:14'),
    ],
  });
const blocks = [
  block(le, true),
  block(be, false),
  block(le, true, bigTiffBlock),
  block(be, false, bigTiffBlock),
];
const packet = Buffer.from(
  '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" ' +
    'exif:FNumber="28/10" xmlns:air="urn:air" air:GimbalPitchDegree="-89.90" air:GimbalYawDegree="-48.60" air:Height="66.1">' +
    '<exif:ExposureTime>1/50</exif:ExposureTime><exif:GPSTimeStamp>2026-05-14T05:08:09Z</exif:GPSTimeStamp></rdf:Description></rdf:RDF>',
);
const exifItem = { type: 'Exif' as const, bytes: Buffer.concat([uint(0, 4), blocks[0] as Buffer]) };
const files = [
  jpegFile(exifSegment(blocks[0] as Buffer)),
  pngFile(rawProfileChunk('exif', rawProfileText('exif', blocks[0] as Buffer), false)),
  heifFile('heic', [exifItem, { type: 'mime', bytes: packet }]),
];

const rawProfiles = [
  Buffer.from(rawProfileText('exif', blocks[0] as Buffer), 'latin1'),
  Buffer.from(rawProfileText('xmp', packet), 'latin1'),
];

function expectSound(sightings: readonly FactSighting[]): void {
  for (const { fact, value } of sightings) {
    if (typeof value === 'number') assert(Number.isFinite(value), fact);
    if (typeof value === 'string') assert.notEqual(value, '', fact);
    if (fact === 'exposureSeconds') assert(value > 0 && value <= 86_400, fact);
    if (fact === 'latitude') assert(Math.abs(value) <= 90, fact);
    if (fact === 'recordedAt') assert(!Number.isNaN(Date.parse(value.replace(/:60/, ':59'))), fact);
  }
}

const movie = Buffer.concat([
  isoBox('ftyp', Buffer.from('isom\0\0\0\0isom', 'latin1')),
  isoBox(
    'moov',
    isoFullBox('mvhd', 0, 0, Buffer.alloc(96)),
    isoBox(
      'meta',
      isoFullBox('hdlr', 0, 0, Buffer.alloc(4), Buffer.from('mdta'), Buffer.alloc(12)),
      isoFullBox('keys', 0, 0, uint(1, 4), isoBox('mdta', Buffer.from('com.android.capture.fps'))),
      isoBox(
        'ilst',
        Buffer.concat([
          uint(32, 4),
          uint(1, 4),
          isoBox('data', uint(23, 4), uint(0, 4), uint(0x43700000, 4)),
        ]),
      ),
    ),
    isoBox('udta', isoBox('XMP_', packet)),
  ),
  isoBox('mdat', Buffer.alloc(64)),
]);
const riff = Buffer.concat([Buffer.from('RIFF'), Buffer.from([200, 0, 0, 0]), Buffer.from('AVI LIST')]);
const cues = Buffer.from(
  '1\n00:00:00,000 --> 00:00:01,000\n[iso: 100] [shutter: 1/50.0] [fnum: 2.8] [ev: 0] lat 47.5 lon 8.25\n\n' +
    '2\n00:00:01,000 --> 00:00:02,000\n<font size="28">ISO 200, SS 1/100, F/2.8, EV +0.3</font>\n\n',
);
const cueContext = { source: 'SubRip', framesPerSecond: 25, durationSeconds: 10 };
const origin = { carrier: 'xmp-embedded', label: 'XMP' } as const;

/** One property for each parser: damaged input never throws, and what comes of it can be. Takes the number of runs. */
export const propertyRuns: Readonly<Record<string, (numRuns: number) => Promise<void>>> = {
  'EXIF blocks': async (numRuns) =>
    fc.assert(
      fc.asyncProperty(mutated(...blocks), async (bytes) =>
        expectSound((await readExif(bytesSource(bytes))).sightings),
      ),
      { numRuns },
    ),

  'EXIF blocks with foreign bytes behind them': async (numRuns) =>
    fc.assert(
      fc.asyncProperty(
        mutated(...blocks),
        fc.uint8Array({ minLength: 64, maxLength: 256 }),
        async (bytes, foreign) => {
          const around = Buffer.concat([bytes, foreign]);
          const alone = await readExif(bytesSource(Buffer.from(bytes)));
          const inside = await readExif(partSource(bytesSource(around), 0, bytes.length));
          assert.deepEqual(inside, alone);
        },
      ),
      { numRuns },
    ),

  'containers of stills': async (numRuns) =>
    fc.assert(
      fc.property(mutated(...files), (bytes) => {
        const contents = stillContents(bytesSource(bytes));
        for (const exif of contents?.exif ?? []) assert(exif.sizeBytes <= bytes.length);
      }),
      { numRuns },
    ),

  // The check sum of their chunk keeps damage away from them.
  'raw profiles': async (numRuns) =>
    fc.assert(
      fc.asyncProperty(mutated(...rawProfiles), async (text) => {
        const file = pngFile(rawProfileChunk('APP1', text.toString('latin1'), false));
        const { exif, xmp } = stillContents(bytesSource(file))!;
        for (const source of exif) {
          assert(source.sizeBytes <= text.length / 2);
          expectSound((await readExif(source)).sightings);
        }
        for (const bytes of xmp) {
          assert(bytes.length <= text.length / 2);
          expectSound(parseXmp(bytes, origin).sightings);
        }
      }),
      { numRuns },
    ),

  'containers of clips': async (numRuns) =>
    fc.assert(
      fc.property(mutated(movie, riff), (bytes) => {
        const source = bytesSource(bytes);
        const contents = mp4Contents(source);
        for (const xmp of contents?.xmp ?? []) assert(xmp.length <= bytes.length);
        if (contents?.moov !== undefined) {
          for (const [, value] of mp4Keys(source, contents.moov)) assert.equal(typeof value, 'string');
        }
        assert((missingEnd(source) ?? 1) > 0);
      }),
      { numRuns },
    ),

  'XMP packets': async (numRuns) =>
    fc.assert(
      fc.property(mutated(packet), (bytes) => {
        const reading: Reading = parseXmp(bytes, origin);
        expectSound(reading.sightings);
      }),
      { numRuns },
    ),

  'SubRip telemetry': async (numRuns) =>
    fc.assert(
      fc.asyncProperty(mutated(cues), async (bytes) => {
        const { sightings, track } = await parseTelemetryText(bytes.toString('utf8'), cueContext);
        expectSound(sightings);
        for (const sample of track?.samples ?? [])
          for (const [name, value] of Object.entries(sample))
            if (isBounded(name)) assert.equal(implausible(name, value as number), undefined, name);
      }),
      { numRuns },
    ),
};
