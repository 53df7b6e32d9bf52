import { describe, expect, it, test } from 'vitest';
import { exportedText, parseExported } from '../../src/document/loggedFlight.ts';
import { madeFlight } from '../logbook/madeFlight.ts';

describe('an export', () => {
  it('is read again as it was', () => {
    const flights = [madeFlight(1, 3), madeFlight(2, 2)];
    expect(parseExported([...exportedText(flights)].join(''), 'export.json')).toEqual(flights);
    expect(parseExported([...exportedText([])].join(''), 'export.json')).toEqual([]);
  });
  test.each([
    ['not JSON', '{', /is no JSON/],
    ['another format', '{"format": "halfturn-audit"}', /is no export of a logbook: format/],
    [
      'a wrong kind',
      [...exportedText([madeFlight(1, 1)])].join('').replace('"clip"', '"film"'),
      /flights\.0\.recordings\.0\.kind/,
    ],
  ])('is refused where it is %s', (_, text, message) => {
    expect(() => parseExported(text, 'export.json')).toThrow(message);
  });
});
