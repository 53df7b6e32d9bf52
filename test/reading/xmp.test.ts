import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { openMedia } from '../../src/programs/openMedia.ts';
import { readXmpSidecar } from '../../src/reading/still.ts';
import { parseXmp } from '../../src/reading/xmp.ts';
import { sourceOf, valueOf } from './readings.ts';

const origin = { carrier: 'xmp-sidecar', label: 'XMP sidecar STILL.XMP' } as const;
const parse = (text: string | Uint8Array) =>
  parseXmp(typeof text === 'string' ? Buffer.from(text) : text, origin);

// Namespaces: Adobe XMP specification part 2; CIPA DC-010 for exifEX.
const namespaces =
  'xmlns:exif="http://ns.adobe.com/exif/1.0/" xmlns:exifEX="http://cipa.jp/exif/1.0/" ' +
  'xmlns:tiff="http://ns.adobe.com/tiff/1.0/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"';
const packet = (properties: string, attributes = '') =>
  `<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">` +
  `<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" ${namespaces} ${attributes}>` +
  `${properties}</rdf:Description></rdf:RDF></x:xmpmeta>${' '.repeat(2048)}<?xpacket end="w"?>`;

describe('facts', () => {
  test('properties are read from elements, attributes, arrays and qualified values', () => {
    const reading = parse(
      packet(
        `<exif:ExposureTime>1/200</exif:ExposureTime>
         <exif:ISOSpeedRatings><rdf:Seq><rdf:li>400</rdf:li></rdf:Seq></exif:ISOSpeedRatings>
         <exif:FocalLength rdf:parseType="Resource"><rdf:value>24/1</rdf:value></exif:FocalLength>
         <exif:ExposureBiasValue>-1/3</exif:ExposureBiasValue>
         <exif:DateTimeOriginal>2026-05-14T07:08:09.007+02:00</exif:DateTimeOriginal>
         <exif:GPSAltitude>125/10</exif:GPSAltitude><exif:GPSAltitudeRef>1</exif:GPSAltitudeRef>`,
        'exif:FNumber = "28/10" exif:GPSLatitude="47,30.6S" exif:GPSLongitude="8,15,0E"\n tiff:Model="One &amp; &#x41;"',
      ),
    );
    expect(reading.refusals).toEqual([]);
    expect(valueOf(reading, 'exposureSeconds')).toBe(0.005);
    expect(sourceOf(reading, 'exposureSeconds')).toBe('XMP sidecar STILL.XMP exif:ExposureTime');
    expect(valueOf(reading, 'fNumber')).toBe(2.8);
    expect(valueOf(reading, 'iso')).toBe(400);
    expect(valueOf(reading, 'focalLengthMm')).toBe(24);
    expect(valueOf(reading, 'exposureBiasStops')).toBeCloseTo(-1 / 3, 12);
    expect(valueOf(reading, 'recordedAt')).toBe('2026-05-14T07:08:09.007+02:00');
    expect(valueOf(reading, 'latitude')).toBeCloseTo(-47.51, 10);
    expect(valueOf(reading, 'longitude')).toBe(8.25);
    expect(valueOf(reading, 'altitudeMetres')).toBe(-12.5);
    expect(valueOf(reading, 'camera')).toBe('One & A');
  });

  test('a foreign prefix for the namespace is followed, the usual prefix for a foreign namespace is not', () => {
    const followed = parse(packet('<e:FNumber xmlns:e="http://ns.adobe.com/exif/1.0/">28/10</e:FNumber>'));
    expect(valueOf(followed, 'fNumber')).toBe(2.8);
    const foreign = parse(packet('<exif:FNumber xmlns:exif="urn:other">28/10</exif:FNumber>'));
    expect(foreign.sightings).toEqual([]);
  });

  test('a value inside a comment is none, one in CDATA is', () => {
    expect(parse(packet('<!-- <exif:FNumber>9/1</exif:FNumber> -->')).sightings).toEqual([]);
    const reading = parse(packet('<exif:FNumber><![CDATA[28/10]]></exif:FNumber>'));
    expect(valueOf(reading, 'fNumber')).toBe(2.8);
  });

  test.each(['0x10', '1e5', '1/0x2', '28,10', 'fast', '1/2/3', ''])('"%s" is no number', (text) => {
    expect(parse(packet(`<exif:FNumber>${text}</exif:FNumber>`)).sightings).toEqual([]);
  });

  test('absurd values are refused, 0/0 is unknown', () => {
    const reading = parse(packet('', 'exif:ExposureTime="4294967295/1" exif:FNumber="0/0"'));
    expect(reading.sightings).toEqual([]);
    expect(reading.refusals).toMatchObject([{ what: 'exposureSeconds', raw: '4294967295/1' }]);
  });
});

describe('encodings', () => {
  const text = packet('<tiff:Model>Ærø</tiff:Model>');
  const swapped = (bytes: Buffer) => Buffer.from(bytes).swap16();
  const utf32 = (order: 'BE' | 'LE') => {
    const bytes = Buffer.alloc(text.length * 4);
    Array.from(text).forEach((character, at) => {
      const code = character.codePointAt(0) ?? 0;
      if (order === 'BE') bytes.writeUInt32BE(code, at * 4);
      else bytes.writeUInt32LE(code, at * 4);
    });
    return bytes;
  };
  const latin1 = `<?xml version="1.0" encoding="ISO-8859-1"?>${text.replace('\ufeff', '')}`;

  test.each([
    ['UTF-8', Buffer.from(text)],
    ['UTF-8 with a mark', Buffer.from(`\ufeff${text}`)],
    ['UTF-16LE with a mark', Buffer.from(`\ufeff${text}`, 'utf16le')],
    ['UTF-16LE', Buffer.from(text, 'utf16le')],
    ['UTF-16BE with a mark', swapped(Buffer.from(`\ufeff${text}`, 'utf16le'))],
    ['UTF-16BE', swapped(Buffer.from(text, 'utf16le'))],
    ['UTF-32BE', utf32('BE')],
    ['UTF-32LE', utf32('LE')],
    ['declared Latin-1', Buffer.from(latin1, 'latin1')],
  ])('%s is understood', (_, bytes) => {
    expect(valueOf(parse(bytes), 'camera')).toBe('Ærø');
  });

  test('another declared encoding is refused', () => {
    const reading = parse(`<?xml version="1.0" encoding="EBCDIC-CP-US"?>${text.slice(1)}`);
    expect(reading.refusals.map((each) => each.reason)).toEqual(['its character encoding is not supported']);
  });
});

// Each took the XML reader or an earlier version of this code seconds, or is an attack on XML readers in general. Alone
// each needs less than half a second; the limit leaves room for a busy machine.
describe('hostile packets end at once', () => {
  const bytes = 1024 * 1024 - 4000;
  const many = (count: number, part: (index: number) => string) =>
    Array.from({ length: count }, (_, at) => part(at)).join('');
  test.each([
    ['one text of 1 MB', packet(`<exif:A>${'a'.repeat(bytes)}</exif:A>`)],
    ['1 MB of ampersands', packet(`<exif:A>${'&'.repeat(bytes)}</exif:A>`)],
    ['9,900 siblings', packet('<exif:A/>'.repeat(9900))],
    [
      '9,900 attributes',
      packet(
        '',
        many(9900, (at) => `exif:a${at}="1"`),
      ),
    ],
    [
      '5,000 namespaces over 4,900 elements',
      `<x ${many(5000, (at) => `xmlns:a${at}="u"`)}>${'<y xmlns:b="1"/>'.repeat(4900)}</x>`,
    ],
    ['9,900 open elements', '<a>'.repeat(9900)],
    ['a million siblings', packet('<exif:A/>'.repeat(100_000))],
    ['more than 1 MiB', packet('x'.repeat(1024 * 1024))],
    [
      'an entity bomb',
      `<!DOCTYPE x [<!ENTITY a "ha">${many(30, (at) => `<!ENTITY a${at + 1} "&a${at};&a${at};">`)}]><x>&a30;</x>`,
    ],
    ['an external entity', '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]><x>&a;</x>'],
    ['a flood of brackets', '<'.repeat(500_000)],
    ['an open comment', `<!--${'-'.repeat(bytes)}`],
    ['an element called __proto__', packet('<__proto__><exif:FNumber>1/1</exif:FNumber></__proto__>')],
  ])('%s', (_, text) => {
    const reading = parse(text);
    expect(reading.sightings).toEqual([]);
    expect(({} as Record<string, unknown>)['exif:FNumber']).toBeUndefined();
  });
});

test('a sidecar is read as a file, and a huge one is refused without being read', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'halfturn-xmp-'));
  try {
    const read = async (text: string) => {
      await writeFile(join(folder, 'STILL.XMP'), text);
      const media = await openMedia(join(folder, 'STILL.XMP'));
      try {
        return readXmpSidecar(media, 'STILL.XMP');
      } finally {
        await media.close();
      }
    };
    const reading = await read(packet('', 'exif:FNumber="28/10"'));
    expect(valueOf(reading, 'fNumber')).toBe(2.8);
    expect(reading.sightings[0]?.carrier).toBe('xmp-sidecar');
    expect((await read(packet(' '.repeat(20_000_000)))).refusals.map((each) => each.what)).toEqual([
      'XMP packet',
    ]);
  } finally {
    await rm(folder, { recursive: true });
  }
});

const dynamicMedia = (inside: string): Buffer =>
  Buffer.from(
    '<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" ' +
      `xmlns:xmpDM="http://ns.adobe.com/xmp/1.0/DynamicMedia/">${inside}</rdf:Description></rdf:RDF>`,
  );

// XMP specification part 1, 7.9.2: three ways to write a structure; part 2, Timecode.
test.each([
  '<xmpDM:startTimecode rdf:parseType="Resource"><xmpDM:timeFormat>2997DropTimecode</xmpDM:timeFormat><xmpDM:timeValue>01:02:03;04</xmpDM:timeValue></xmpDM:startTimecode>',
  '<xmpDM:startTimecode><rdf:Description xmpDM:timeFormat="2997DropTimecode" xmpDM:timeValue="01:02:03;04"/></xmpDM:startTimecode>',
  '<xmpDM:startTimecode xmpDM:timeFormat="2997DropTimecode" xmpDM:timeValue="01:02:03;04"/>',
])('the start timecode of XMP is read from %s', (inside) => {
  const reading = parseXmp(dynamicMedia(inside), { carrier: 'xmp-embedded', label: 'XMP' });
  expect(valueOf(reading, 'startTimecode')).toBe('01:02:03;04');
});

test('a timecode in another structure is not the start', () => {
  const other = '<xmpDM:altTimecode xmpDM:timeFormat="25Timecode" xmpDM:timeValue="01:02:03:04"/>';
  const reading = parseXmp(dynamicMedia(other), { carrier: 'xmp-embedded', label: 'XMP' });
  expect(valueOf(reading, 'startTimecode')).toBeUndefined();
});
