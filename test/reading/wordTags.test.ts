import { expect, test } from 'vitest';
import { wordTags } from '../../src/reading/wordTags.ts';
import { parseXmp } from '../../src/reading/xmp.ts';
import { valueOf } from './readings.ts';

// Numbers after CIPA DC-008: ExposureProgram 3 aperture priority, MeteringMode 5 pattern, WhiteBalance 0 automatic.
test.each([
  ['org.aeroform.camera.exposure-program', '3', 'exposureProgram', 'aperture priority'],
  ['EXPOSUREMODE', '1', 'exposureProgram', 'manual exposure'],
  ['org.aeroform.camera.exposure-program', 'Manual', 'exposureProgram', 'Manual'],
  ['metering_mode', '5', 'meteringMode', 'pattern'],
  ['white-balance', '0', 'whiteBalance', 'auto white balance'],
  ['white-balance', 'cloudy', 'whiteBalance', 'cloudy'],
  ['org.aeroform.camera.white-balance-kelvin', '5600', 'whiteBalance', '5600 K'],
  ['white-balance', '5600K', 'whiteBalance', '5600 K'],
] as const)('tag %s with %j is a word', (tag, value, fact, word) => {
  const reading = wordTags(new Map([[tag, value]]));
  expect(valueOf(reading, fact)).toBe(word);
  expect(reading.sightings).toHaveLength(1);
});

test.each([
  ['exposure-program', '99'],
  ['white-balance-kelvin', '99999999'],
  ['metering-mode', '---'],
  ['programme', 'manual'],
  ['constructor', 'manual'],
])('tag %s with %j says nothing', (tag, value) => {
  expect(wordTags(new Map([[tag, value]])).sightings).toEqual([]);
});

const packet = (inside: string): Buffer =>
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
  const reading = parseXmp(packet(inside), { carrier: 'xmp-embedded', label: 'XMP' });
  expect(valueOf(reading, 'startTimecode')).toBe('01:02:03;04');
});

test('a timecode in another structure is not the start', () => {
  const other = '<xmpDM:altTimecode xmpDM:timeFormat="25Timecode" xmpDM:timeValue="01:02:03:04"/>';
  const reading = parseXmp(packet(other), { carrier: 'xmp-embedded', label: 'XMP' });
  expect(valueOf(reading, 'startTimecode')).toBeUndefined();
});
