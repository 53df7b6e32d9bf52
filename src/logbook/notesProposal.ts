import type { LoggedRecording } from '../document/loggedFlight.ts';
import { noFilter, type KitFilter } from '../domain/filterKit.ts';
import { median } from '../domain/statistics.ts';

/** What grouping needs of a recording, in shooting order. */
interface NotedRecording extends Pick<
  LoggedRecording,
  'path' | 'atMs' | 'recordedAt' | 'longitude' | 'sensorEv100'
> {
  /** What the light of the scene is expected to be; absent where time or place is not known. */
  readonly expectedEv100?: number;
}

type GroupReason = 'first' | 'pause' | 'brightness';

interface ProposedGroup {
  readonly reason: GroupReason;
  readonly members: readonly NotedRecording[];
  readonly sensorEv100?: number;
  /** What it looks like; absent where nothing speaks for one. */
  readonly filter?: { readonly label: string; readonly probability: number };
}

/** Time to land, swap and take off again; common practice, no source. */
const pauseMs = 12 * 60_000;
/** Subjects differ by less within a flight than filters of two stops do; common practice, no source. */
const jumpStops = 1.5;

/**
 * Groups of recordings that were probably taken with one filter. A landing parts them, and so does a jump of the
 * brightness: the exposure that a camera settles on behind an ND16 is four stops off.
 */
export function groupByFilter(recordings: readonly NotedRecording[]): readonly ProposedGroup[] {
  const groups: { reason: GroupReason; members: NotedRecording[] }[] = [];
  for (const recording of recordings) {
    const group = groups.at(-1);
    const reason = group === undefined ? 'first' : changeBefore(recording, group.members);
    if (reason === undefined) group!.members.push(recording);
    else groups.push({ reason, members: [recording] });
  }
  return groups.map(({ reason, members }) => {
    const sensorEv100 = median(members.flatMap((member) => member.sensorEv100 ?? []));
    return { reason, members, sensorEv100 };
  });
}

function changeBefore(
  recording: NotedRecording,
  members: readonly NotedRecording[],
): GroupReason | undefined {
  const last = members.findLast(({ sensorEv100 }) => sensorEv100 !== undefined);
  const level = median(members.flatMap(({ sensorEv100 }) => sensorEv100 ?? []));
  if (recording.sensorEv100 !== undefined && level !== undefined) {
    const light = (recording.expectedEv100 ?? 0) - (last?.expectedEv100 ?? 0);
    const expected = recording.expectedEv100 === undefined || last?.expectedEv100 === undefined ? 0 : light;
    if (Math.abs(recording.sensorEv100 - level - expected) > jumpStops) return 'brightness';
  }
  const before = members.findLast(({ atMs }) => atMs !== undefined);
  const gapMs = recording.atMs === undefined || before?.atMs === undefined ? 0 : recording.atMs - before.atMs;
  return Math.abs(gapMs) > pauseMs ? 'pause' : undefined;
}

/** How far one flight's light is off what was expected as a whole, and each group's around that; standard deviations. */
const flightSpreadStops = 0.8;
const groupSpreadStops = 0.5;

/**
 * Which filter each group looks like, from the light that is missing behind it. All groups share one deviation of the
 * day, so that the difference between two groups counts more than how dark both are.
 */
export function withFilters(
  groups: readonly ProposedGroup[],
  kit: readonly KitFilter[],
): readonly ProposedGroup[] {
  const filters = [noFilter, ...kit.filter(({ graduated, rangeStops }) => !graduated && !rangeStops)];
  const missing = groups.map(({ members }) =>
    median(
      members.flatMap(({ expectedEv100, sensorEv100 }) =>
        expectedEv100 === undefined || sensorEv100 === undefined ? [] : [expectedEv100 - sensorEv100],
      ),
    ),
  );
  const totals = groups.map(() => filters.map(() => 0));
  for (let shift = -3; shift <= 3; shift += 0.05) {
    const likely = missing.map((stops) => filters.map((filter) => closeness(stops, filter.stops + shift)));
    const sums = likely.map((row) => row.reduce((a, b) => a + b, 0));
    const weight = sums.reduce((product, sum) => product * sum, gauss(shift, flightSpreadStops));
    likely.forEach((row, group) =>
      row.forEach((value, filter) => (totals[group]![filter]! += (weight * value) / sums[group]!)),
    );
  }
  const proposed = groups.map((group, at) => {
    if (missing[at] === undefined) return group;
    const row = totals[at]!;
    const total = row.reduce((a, b) => a + b, 0);
    const best = row.indexOf(Math.max(...row));
    if (!(total > 0)) return group;
    return { ...group, filter: { label: filters[best]!.label, probability: row[best]! / total } };
  });
  return proposed.reduce<readonly ProposedGroup[]>(withNext, []);
}

/** Where the same filter is proposed before and after a jump of the brightness, it was the subject that changed. */
function withNext(groups: readonly ProposedGroup[], next: ProposedGroup): readonly ProposedGroup[] {
  const last = groups.at(-1);
  const isSame = last?.filter !== undefined && last.filter.label === next.filter?.label;
  if (!isSame || next.reason !== 'brightness') return [...groups, next];
  const members = [...last.members, ...next.members];
  const probability = Math.min(last.filter.probability, next.filter!.probability);
  const joined: ProposedGroup = {
    ...last,
    members,
    sensorEv100: median(members.flatMap(({ sensorEv100 }) => sensorEv100 ?? [])),
    filter: { ...last.filter, probability },
  };
  return [...groups.slice(0, -1), joined];
}

function closeness(missingStops: number | undefined, stops: number): number {
  return missingStops === undefined ? 1 : gauss(missingStops - stops, groupSpreadStops) + 1e-12;
}

function gauss(distance: number, spread: number): number {
  return Math.exp(-0.5 * (distance / spread) ** 2);
}
