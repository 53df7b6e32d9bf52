import { expect, test } from 'vitest';
import { parseIso6709 } from '../../src/reading/iso6709.ts';

// The examples of ISO 6709 annex H (from memory), one point in three forms: 40 deg 12' 13.1" N, 75 deg 00' 15.1" W.
// The decimals of the first were cut off, not rounded; the second is given to a hundredth of a minute.
test.each([
  ['+40.20361-075.00417/', 4],
  ['+4012.22-07500.25/', 3],
  ['+401213.1-0750015.1/', 5],
])('parseIso6709() reads the form of %s', (text, digits) => {
  const point = parseIso6709(text)!;
  expect(point.latitude).toBeCloseTo(40 + 12 / 60 + 13.1 / 3600, digits);
  expect(point.longitude).toBeCloseTo(-(75 + 15.1 / 3600), digits);
  expect(point.altitudeMetres).toBeUndefined();
});

test('parseIso6709() reads a height with its sign', () => {
  expect(parseIso6709('-90+000-2800/')).toEqual({ latitude: -90, longitude: 0, altitudeMetres: -2800 });
  expect(parseIso6709('+47.5000+008.7000+450.000/')?.altitudeMetres).toBe(450);
});

// Positions as writers without leading zeros put them: by value, only one reading is possible.
test.each([
  ['+40.6800-74.5000/', 40.68, -74.5],
  ['+51.5000-0.1200/', 51.5, -0.12],
  ['+5.2500-74.5000/', 5.25, -74.5],
  ['+5.2500+100.5000/', 5.25, 100.5],
  ['+4030.00-7430.00/', 40.5, -74.5],
  ['+403000-743000/', 40.5, -74.5],
])('parseIso6709() reads %s, whose longitude lacks a zero', (text, latitude, longitude) => {
  const point = parseIso6709(text);
  expect(point?.latitude).toBeCloseTo(latitude, 9);
  expect(point?.longitude).toBeCloseTo(longitude, 9);
});

test('parseIso6709() leaves alone what could be read in two ways', () => {
  expect(parseIso6709('+40.68-7430.00/')).toBeUndefined();
  expect(parseIso6709('+4030.00-74.50/')).toBeUndefined();
});

test.each(['', '47.5,8.7', '+91+000/', '+45+181/', '+4060+00000/', '+45.5', 'NaN', '+470+0080/'])(
  'parseIso6709() does not read %j',
  (text) => {
    expect(parseIso6709(text)).toBeUndefined();
  },
);
