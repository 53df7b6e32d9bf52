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
