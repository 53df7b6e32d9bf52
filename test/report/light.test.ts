import { expect, test } from 'vitest';
import { lightLikeness } from '../../src/report/flightSummary.ts';

// ANSI PH2.7-1973 and PH2.7-1986, as merged in the table "Exposure value" of general encyclopedias; rows read there.
test.each([
  [16, 'sunlit sand or snow'],
  [15, 'full sun'],
  [14, 'hazy sun'],
  [13, 'a bright cloudy day'],
  [12, 'heavy overcast or open shade'],
  [9, 'the minutes around sunset'],
  [7, 'dusk or lamplight'],
])('lightLikeness(%d) is %s', (ev100, name) => expect(lightLikeness(ev100)).toBe(name));
