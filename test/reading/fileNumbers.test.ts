import { describe, expect, test } from 'vitest';
import { fileNumbersOf } from '../../src/reading/fileNumbers.ts';
import { still } from '../findings/subject.ts';

const card = (...names: readonly string[]) => fileNumbersOf(names.map((path) => ({ ...still({}), path })));

describe('file numbers', () => {
  test('run on where every number has a file, clips and other folders included', () => {
    const numbers = card('100AERO/AERO0001.JPG', '100AERO/AERO0002.MP4', '101AERO/AERO0003.JPG');
    expect(numbers.skippedBetween('100AERO/AERO0001.JPG', '101AERO/AERO0003.JPG')).toBe(0);
  });

  test('lack what no file has', () => {
    const numbers = card('AERO0001.JPG', 'AERO0004.JPG', 'AERO0005.JPG', 'AERO0009.JPG');
    expect(numbers.skippedBetween('AERO0001.JPG', 'AERO0004.JPG')).toBe(2);
    expect(numbers.skippedNear(['AERO0004.JPG', 'AERO0005.JPG'])).toEqual({ before: 2, inside: 0, after: 3 });
  });

  test('begin again at 1 after 9999', () => {
    const numbers = card('AERO9999.JPG', 'AERO0001.JPG');
    expect(numbers.skippedBetween('AERO9999.JPG', 'AERO0001.JPG')).toBe(0);
  });

  test('of five digits go on after 9999', () => {
    const numbers = card('AERO00002.JPG', 'AERO00003.JPG', 'AERO10000.JPG', 'AERO10003.JPG', 'AERO10004.JPG');
    expect(numbers.skippedBetween('AERO10000.JPG', 'AERO10003.JPG')).toBe(2);
    expect(numbers.skippedBetween('AERO10003.JPG', 'AERO10004.JPG')).toBe(0);
    expect(numbers.skippedBetween('AERO10003.JPG', 'AERO00002.JPG')).toBeUndefined();
  });

  test('are no times, no plain names, and not those of another series', () => {
    const numbers = card(
      '20260602_090014.JPG',
      '20260602_090019.JPG',
      'shore.jpg',
      'AERO0001.JPG',
      'IMG_0002.JPG',
    );
    expect(numbers.skippedBetween('20260602_090014.JPG', '20260602_090019.JPG')).toBeUndefined();
    expect(numbers.skippedBetween('AERO0001.JPG', 'IMG_0002.JPG')).toBeUndefined();
    expect(numbers.skippedNear(['shore.jpg'])).toBeUndefined();
  });
});
