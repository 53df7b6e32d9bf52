import { describe, expect, it } from 'vitest';
import { flightsOf } from '../../src/logbook/flightsOf.ts';
import { exampleDocument } from '../report/exampleDocument.ts';

const context = { zoneOffsetAt: () => 0 };

describe('flightsOf()', () => {
  const entered = flightsOf(exampleDocument, {
    ...context,
    notes: { place: 'Long Shoal', sky: 'haze', text: 'notes' },
  });
  const recordings = entered.flatMap((flight) => flight.recordings);

  it('enters every recording once, with what was noted', () => {
    expect(recordings.map(({ path }) => path)).toEqual(exampleDocument.recordings.map(({ path }) => path));
    expect(entered[0]).toMatchObject({
      dump: exampleDocument.dump,
      place: 'Long Shoal',
      sky: 'haze',
      notes: 'notes',
    });
  });

  it('keeps the light behind the filter, so that a strength learned later changes what was in front of it', () => {
    const known = exampleDocument.recordings.flatMap(({ exposure, filter }, at) =>
      exposure.sceneEv100 !== undefined && filter?.fitted !== undefined ? [{ exposure, filter, at }] : [],
    );
    expect(known.length).toBeGreaterThan(0);
    for (const { exposure, filter, at } of known)
      expect(recordings[at]!.sensorEv100! + filter.fitted!.stops).toBeCloseTo(exposure.sceneEv100!, 9);
  });

  it('does not take over a filter that the light contradicts beyond any weather', () => {
    const known = exampleDocument.recordings.find(({ filter }) => filter?.fitted !== undefined)!;
    const enteredWith = (weight: 'medium' | 'low') => {
      const { label, stops: filterStops } = known.filter!.fitted!;
      const finding = {
        kind: 'filter-forgotten',
        weight,
        label,
        filterStops,
        brighterStops: filterStops,
        text: '',
      } as unknown as (typeof known.findings)[number];
      const document = { ...exampleDocument, recordings: [{ ...known, findings: [finding] }] };
      return flightsOf(document, context)[0]!.recordings[0]!.fitted?.label;
    };
    expect(enteredWith('medium')).toBeUndefined();
    expect(enteredWith('low')).toBe(known.filter!.fitted!.label);
  });

  it('parts a card that holds several days, in whatever order its files are named', () => {
    const count = exampleDocument.recordings.length;
    const onDays = (isFirstDay: (at: number) => boolean) =>
      flightsOf(
        {
          ...exampleDocument,
          recordings: exampleDocument.recordings.map((one, at) => ({
            ...one,
            facts: {
              ...one.facts,
              recordedAt: { value: `2026-05-${isFirstDay(at) ? 10 : 14}T12:00:0${at % 10}`, source: 'test' },
            },
          })),
        },
        context,
      ).map((flight) => flight.recordings.length);
    expect(onDays((at) => at === 0)).toEqual([1, count - 1]);
    expect(onDays((at) => at === 1)).toEqual([1, count - 1]);
  });
});
