import { describe, expect, it } from 'vitest';
import { learn } from '../../src/logbook/learning.ts';
import type { LoggedObservation } from '../../src/logbook/queries.ts';

const generatedAt = '2026-05-14T18:00:00Z';
const kit = [4, 5, 6].map((stops) => ({ label: `ND${2 ** stops}`, stops }));

/** Clips of one flight in sun at 30 degrees, flown with ND16 where ND64 was wanted. */
function flight(flightId: number, change: Partial<LoggedObservation> = {}, clips = 4): LoggedObservation[] {
  return Array.from({ length: clips }, () => ({
    kind: 'clip' as const,
    flightId,
    startedAt: `2026-05-${10 + flightId}T10:00:00+02:00`,
    place: 'Long Shoal',
    sky: 'clear' as const,
    camera: 'Aeroform A1',
    sensorEv100: 9.4,
    offsetBasis: 'metered' as const,
    inWindow: true,
    shutterVerdict: 'short' as const,
    fitted: { label: 'ND16', labelStops: 4 },
    neededStops: 6,
    pickLabel: 'ND64',
    sunElevationDegrees: 30,
    sunAzimuthDegrees: 180,
    ...change,
  }));
}

const learned = (observations: readonly LoggedObservation[]) => learn({ observations, kit, generatedAt });

describe('learn()', () => {
  it('says first what to fit instead, where most recordings of several flights agree', () => {
    const { sentences } = learned([...flight(1), ...flight(2)]);
    expect(sentences).toEqual([
      'With the sun 25° to 45°, sky clear, start with ND64: it fits 8 of 8 recordings. Most often you fitted ND16; that landed 0 of 8 times.',
    ]);
  });

  // ND16 is wanted throughout, and the others were flown: what fits is counted over all of them.
  it('counts every recording that a filter fits, and offers none that was fitted most', () => {
    const wanted = (label: string, labelStops: number, flightId: number, clips: number) =>
      flight(flightId, { fitted: { label, labelStops }, neededStops: 4, pickLabel: 'ND16' }, clips);
    const sixes = [wanted('ND16', 4, 1, 6), wanted('ND8', 3, 2, 6)] as const;
    const sentence =
      'With the sun 25° to 45°, sky clear, start with ND16: it fits 12 of 12 recordings. Most often you fitted ND8; that landed 0 of 6 times.';
    expect(learned(sixes.flat()).sentences).toEqual([sentence]);
    expect(learned(sixes.toReversed().flat()).sentences).toEqual([sentence]);
    const mixed = [
      ...wanted('ND16', 4, 1, 4),
      ...wanted('ND4', 2, 2, 2),
      ...wanted('ND8', 3, 3, 2),
      ...wanted('none', 0, 4, 2),
    ];
    const { cells, sentences } = learned(mixed);
    expect(cells[0]!.better).toBeUndefined();
    expect(sentences.join(' ')).not.toContain('start with');
    const bare = learned([...wanted('none', 0, 1, 5), ...wanted('ND16', 4, 2, 2)]);
    expect(bare.sentences[0]).toMatch(
      /start with ND16: it fits 7 of 7 .* Most often you flew without a filter; that landed 0 of 5 times\.$/,
    );
  });

  it('concludes nothing from fewer than five recordings, nor from one flight', () => {
    expect(learned(flight(1, {}, 4)).sentences[0]).toMatch(/^Too few recordings/);
    expect(learned(flight(1, {}, 9)).sentences[0]).toMatch(/^One flight is too few .* 0 of 9 recordings/);
  });

  it('says so where nothing is to be changed', () => {
    const right = { shutterVerdict: 'on', pickLabel: 'ND16', neededStops: 4 } as const;
    expect(learned([...flight(1, right), ...flight(2, right)]).sentences).toEqual([
      'Nothing to change stands out: 8 of 8 recordings landed with what was fitted.',
    ]);
  });

  it('praises nothing where little landed and nothing else stands out', () => {
    const short = { pickLabel: 'ND16' } as const;
    expect(learned([...flight(1, short), ...flight(2, short)]).sentences[0]).toMatch(
      /^0 of 8 recordings landed .* no other filter stands out .* "halfturn plan"/,
    );
  });

  // A camera left to itself gets every exposure right, with any filter: only the shutter tells what the filter did.
  it('counts an exposure as landed only with the shutter on', () => {
    const { cells } = learned([
      ...flight(1),
      ...flight(2, { shutterVerdict: 'on' }),
      ...flight(3, { shutterVerdict: 'on', inWindow: false }),
      ...flight(4, { shutterVerdict: 'unknown' }),
    ]);
    expect(cells[0]!.fitted).toEqual({ label: 'ND16', recordings: 16, landed: { of: 12, right: 4 } });
  });

  it('asks about a flight that daylight contradicts, and leaves it out of the table', () => {
    // Noted ND64, flown without: the scene would be as dark as dusk were the note right the other way round.
    const forgotten = flight(3, { fitted: { label: 'ND1024', labelStops: 10 } });
    const { sentences, cells, flights } = learned([...flight(1), ...flight(2), ...forgotten]);
    expect(sentences[0]).toMatch(
      /^Flight 3 on 2026-05-13 would have been [\d.]+ stops brighter than daylight and your other flights allow: was ND1024 really on\?/,
    );
    expect(cells[0]!.recordings).toBe(8);
    expect(flights[2]!.contradictedStops).toBeGreaterThan(3);
  });

  // A clock of another zone puts the sun below the horizon of a bright picture.
  it('asks about the clock where no filter explains it', () => {
    const night = flight(3, { sunElevationDegrees: -15 });
    expect(learned([...flight(1), ...flight(2), ...night]).sentences[0]).toMatch(
      /^Flight 3 .* is its clock right\?.*--zone/,
    );
  });

  it('says three sentences at most', () => {
    const lights = [5, 15, 30, 50].flatMap((sunElevationDegrees, at) => [
      ...flight(2 * at, { sunElevationDegrees }),
      ...flight(2 * at + 1, { sunElevationDegrees }),
    ]);
    expect(learned(lights).sentences).toHaveLength(3);
  });

  it('says what is missing where no filter is known, and where there is nothing', () => {
    expect(learned(flight(1, { fitted: undefined })).sentences[0]).toContain('--fitted');
    expect(learned([]).sentences[0]).toMatch(/no recordings yet/);
  });
});
