import { expect, test } from 'vitest';
import { meterAndPicture } from '../../src/advice/advise.ts';
import type { TransferName } from '../../src/domain/recording.ts';
import { clip, measured } from '../findings/subject.ts';

const between = (meteredStops: number, pictureStops: number, transfer: TransferName = 'bt709') => {
  const levelStops = { median: pictureStops, low: pictureStops, high: pictureStops };
  return meterAndPicture({
    recording: clip({ transfer }),
    offset: { offsetStops: meteredStops, basis: 'metered' },
    measurement: measured([{}], { levelStops }),
  });
};

test('meter and picture differ where they lie more than a stop apart', () => {
  expect(between(0.9, 0)).toMatchObject({ distanceStops: 0.9, differ: false });
  expect(between(0.5, -1)).toMatchObject({ distanceStops: 1.5, differ: true });
});

// HLG has 1.92 stops over reference white (BT.2408-7, table 1, and BT.2100-2, table 5).
test('in HLG what the place of white may explain is no difference, upwards only', () => {
  expect(between(0, 1.9, 'hlg')).toMatchObject({ distanceStops: 0, differ: false });
  expect(between(-1, 0.5, 'hlg')).toMatchObject({ distanceStops: 0, differ: false });
  expect(between(0, 3.42, 'hlg')?.distanceStops).toBeCloseTo(1.5, 12);
  expect(between(0, -1.5, 'hlg')).toMatchObject({ distanceStops: 1.5, differ: true });
});

test('nothing is compared without a meter', () => {
  const offset = { offsetStops: 0, basis: 'picture' } as const;
  expect(meterAndPicture({ recording: clip({}), offset, measurement: measured([{}]) })).toBeUndefined();
});
