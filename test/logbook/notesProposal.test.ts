import { describe, expect, it } from 'vitest';
import { groupByFilter, withFilters } from '../../src/logbook/notesProposal.ts';
import { parseFlightNotes } from '../../src/reading/loadFlightNotes.ts';
import { notesText } from '../../src/report/logbook/notesText.ts';

describe('groupByFilter()', () => {
  const at = (minute: number, sensorEv100: number): Parameters<typeof groupByFilter>[0][number] => ({
    path: `CLIP${minute}.MP4`,
    atMs: minute * 60_000,
    sensorEv100,
    expectedEv100: 14,
  });

  it('parts recordings at a pause and at a jump of the brightness, and at nothing else', () => {
    const groups = groupByFilter([at(0, 10), at(2, 10.6), at(4, 9.5), at(30, 10), at(32, 14), at(34, 13.5)]);
    expect(groups.map(({ reason, members }) => [reason, members.length])).toEqual([
      ['first', 3],
      ['pause', 1],
      ['brightness', 2],
    ]);
  });

  it('expects the light to change with the sun', () => {
    const dusk = [14, 12, 10].map((light, step) => ({ ...at(step * 5, light - 4), expectedEv100: light }));
    expect(groupByFilter(dusk)).toHaveLength(1);
  });

  it('keeps recordings of which nothing is known with those before them', () => {
    const groups = groupByFilter([at(0, 10), { path: 'CLIP1.MP4' }, at(3, 10)]);
    expect(groups).toHaveLength(1);
  });

  it('names the filters that the missing light looks like', () => {
    const kit = [3, 4, 6].map((stops) => ({ label: `ND${2 ** stops}`, stops }));
    const groups = withFilters(groupByFilter([at(0, 14.2), at(2, 10.1), at(4, 8.2)]), kit);
    expect(groups.map(({ filter }) => filter?.label)).toEqual(['none', 'ND16', 'ND64']);
    for (const { filter } of groups) expect(filter!.probability).toBeGreaterThan(0.5);
  });

  // A dark wood after a bright field is a jump of the brightness, and no reason to swap a filter.
  it('proposes one group where the same filter is likely on both sides of a jump', () => {
    const kit = [6, 10].map((stops) => ({ label: `ND${2 ** stops}`, stops }));
    const jump = [at(0, 8.6), at(2, 7), at(20, 7)];
    expect(groupByFilter(jump).map(({ reason }) => reason)).toEqual(['first', 'brightness', 'pause']);
    const groups = withFilters(groupByFilter(jump), kit);
    expect(groups.map(({ reason, members }) => [reason, members.length])).toEqual([
      ['first', 2],
      ['pause', 1],
    ]);
  });

  it('proposes none where neither time nor place is known', () => {
    const groups = withFilters(groupByFilter([{ path: 'A.MP4', sensorEv100: 10 }]), []);
    expect(groups[0]!.filter).toBeUndefined();
  });
});

describe('notesText()', () => {
  const kit = [{ label: 'ND16', stops: 4 }];
  const group = { reason: 'first', files: ['CLIP0001.MP4', 'odd "name"\\.MP4'] } as const;

  it('is valid notes, with the proposal in force', () => {
    const text = notesText({
      place: 'Long "Shoal"',
      latitude: -47,
      longitude: 12.5,
      sky: 'haze',
      kit: ['ND16'],
      groups: [{ ...group, filter: { label: 'ND16', probability: 0.8 } }],
    });
    const notes = parseFlightNotes(text, 'flight.toml', kit);
    expect(notes).toMatchObject({ place: 'Long "Shoal"', latitude: -47, longitude: 12.5, sky: 'haze' });
    expect(notes.fitted[0]).toMatchObject({ filter: { label: 'ND16' }, files: group.files });
  });

  it('is valid notes where nothing is known', () => {
    const notes = parseFlightNotes(notesText({ kit: [], groups: [group] }), 'flight.toml', kit);
    expect(notes.fitted).toEqual([]);
  });
});
