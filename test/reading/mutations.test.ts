import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { FactSighting, Reading } from '../../src/reading/sighting.ts';
import { bytesSource, partSource } from '../../src/reading/containers/byteSource.ts';
import { stillContents } from '../../src/reading/containers/container.ts';
import { readExif } from '../../src/reading/exif.ts';
import { parseXmp } from '../../src/reading/xmp.ts';
import { heifFile, uint } from './isoBoxBytes.ts';
import { exifSegment, fields, jpegFile, tiffBlock } from './tiffBlock.ts';

const le = fields(true);
const be = fields(false);
const block = (make: typeof le, littleEndian: boolean) =>
  tiffBlock({
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
    ],
  });
const blocks = [block(le, true), block(be, false)];
const packet = Buffer.from(
  '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" ' +
    'exif:FNumber="28/10"><exif:ExposureTime>1/50</exif:ExposureTime></rdf:Description></rdf:RDF>',
);
const exifItem = { type: 'Exif' as const, bytes: Buffer.concat([uint(0, 4), blocks[0] as Buffer]) };
const files = [
  jpegFile(exifSegment(blocks[0] as Buffer)),
  heifFile('heic', [exifItem, { type: 'mime', bytes: packet }]),
];

/** A byte string with up to eight bytes overwritten and possibly its end cut off. */
const mutated = (originals: readonly Buffer[]) =>
  fc
    .record({
      original: fc.constantFrom(...originals),
      changes: fc.array(fc.record({ at: fc.nat(), value: fc.nat(255) }), { maxLength: 8 }),
      keep: fc.double({ min: 0, max: 1, noNaN: true }),
      cut: fc.boolean(),
    })
    .map(({ original, changes, keep, cut }) => {
      const bytes = Buffer.from(original);
      for (const { at, value } of changes) bytes[at % bytes.length] = value;
      return cut ? bytes.subarray(0, Math.floor(bytes.length * keep)) : bytes;
    });

function expectSound(sightings: readonly FactSighting[]): void {
  for (const { fact, value } of sightings) {
    if (typeof value === 'number') expect(Number.isFinite(value), fact).toBe(true);
    if (typeof value === 'string') expect(value, fact).not.toBe('');
    if (fact === 'exposureSeconds') expect(value > 0 && value <= 86_400).toBe(true);
    if (fact === 'latitude') expect(Math.abs(value)).toBeLessThanOrEqual(90);
    if (fact === 'recordedAt') expect(Number.isNaN(Date.parse(value.replace(/:60/, ':59')))).toBe(false);
  }
}

test('damaged EXIF blocks never throw and never yield a number that cannot be', async () => {
  await fc.assert(
    fc.asyncProperty(mutated(blocks), async (bytes) =>
      expectSound((await readExif(bytesSource(bytes))).sightings),
    ),
    { numRuns: 500 },
  );
});

test('no EXIF value depends on bytes behind its block', async () => {
  const follow = fc.uint8Array({ minLength: 64, maxLength: 256 });
  await fc.assert(
    fc.asyncProperty(mutated(blocks), follow, async (bytes, foreign) => {
      const around = Buffer.concat([bytes, foreign]);
      const alone = await readExif(bytesSource(Buffer.from(bytes)));
      const inside = await readExif(partSource(bytesSource(around), 0, bytes.length));
      expect(inside).toEqual(alone);
    }),
    { numRuns: 500 },
  );
});

test('damaged containers never throw', () => {
  fc.assert(
    fc.property(mutated(files), (bytes) => {
      const contents = stillContents(bytesSource(bytes));
      for (const exif of contents?.exif ?? []) expect(exif.sizeBytes).toBeLessThanOrEqual(bytes.length);
    }),
    { numRuns: 500 },
  );
});

test('damaged XMP packets never throw', () => {
  const origin = { carrier: 'xmp-embedded', label: 'XMP' } as const;
  fc.assert(
    fc.property(mutated([packet]), (bytes) => {
      const reading: Reading = parseXmp(bytes, origin);
      expectSound(reading.sightings);
    }),
    { numRuns: 500 },
  );
});
