import { expect, test } from 'vitest';
import { containerTags } from '../../src/reading/containerTags.ts';
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
  const reading = containerTags({ format: { tags: { [tag]: value } } }, undefined);
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
  expect(containerTags({ format: { tags: { [tag]: value } } }, undefined).sightings).toEqual([]);
});

// 1904 is the zero of the container's clock (ISO/IEC 14496-12, 8.2.2), and 0, 0 is written where no position was known.
test('a time or a place that cannot be believed is refused, and the next tag is asked', () => {
  const tags = {
    creation_time: '1904-01-01T00:00:00.000000Z',
    DATE_RECORDED: '2026-05-14 07:08:09',
    location: '+00.0000+000.0000/',
    'location-eng': '+47.5000+011.2500/',
  };
  const reading = containerTags({ format: { tags } }, undefined);
  expect(valueOf(reading, 'recordedAt')).toBe('2026-05-14T07:08:09');
  expect([valueOf(reading, 'latitude'), valueOf(reading, 'longitude')]).toEqual([47.5, 11.25]);
  expect(reading.refusals.map(({ what, source }) => [what, source])).toEqual([
    ['recordedAt', 'container tag creation_time'],
    ['latitude', 'container tag location'],
  ]);
});

test('what stands behind a believed tag is not read', () => {
  const tags = { creation_time: '2026-05-14T05:08:09Z', date_recorded: '1904-01-01' };
  const reading = containerTags({ format: { tags } }, undefined);
  expect(valueOf(reading, 'recordedAt')).toBe('2026-05-14T05:08:09Z');
  expect(reading.refusals).toEqual([]);
});
