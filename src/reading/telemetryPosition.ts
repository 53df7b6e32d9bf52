// What is known of positions in telemetry text, before any code:
// - ISO 6709 puts the latitude first. Behind "GPS(" aircraft put the longitude first (common practice, no source).
// - The third number counts satellites in some and is a height in others, so it is neither. Where it has the unit of a
//   length, both orders are seen.
// - Letters of the hemisphere say which is which. A number beyond 90 can only be a longitude.
// - Receivers without a fix write 0, 0.
// - The container holds a position of its own in many clips, and no aircraft flies a degree away within one.
import { degreesOf, type StatedFact, type TelemetryValue } from './telemetryValues.ts';

/** Degrees, + = north and east. */
export interface Place {
  readonly latitude: number;
  readonly longitude: number;
}

/** Two numbers that stand together as a position. */
interface WrittenPosition {
  readonly first: TelemetryValue;
  readonly second: TelemetryValue;
  /** Whether they stand in brackets behind the name of the receiver: `GPS(`. */
  readonly isTuple: boolean;
  /** Whether a third number with a unit of length follows. */
  readonly hasHeight: boolean;
}

type Coordinates = readonly [StatedFact, StatedFact];

/** Latitude and longitude of a written position, in the order that can be true; `place` is the container's own. */
export function coordinatesOf(position: WrittenPosition, place: Place | undefined): Coordinates {
  const { first, second, isTuple, hasHeight } = position;
  if (isEastWest(first) || isNorthSouth(second)) return coordinates(second, first);
  if (isNorthSouth(first) || isEastWest(second)) return coordinates(first, second);
  const usual = isTuple ? coordinates(second, first) : coordinates(first, second);
  const turned = isTuple ? coordinates(first, second) : coordinates(second, first);
  const possible = [usual, turned].filter(isPossible);
  if (possible.length === 0) return usual;
  const isNowhere = first.number === 0 && second.number === 0;
  if (place !== undefined && !isNowhere) {
    const reason = 'is more than a degree from the position in the container';
    return possible.find((order) => isNear(order, place)) ?? refused(usual, reason);
  }
  if (isTuple && hasHeight && possible.length === 2 && first.number !== second.number)
    return refused(usual, 'could have the latitude first or the longitude');
  return possible[0]!;
}

function isEastWest({ unit }: TelemetryValue): boolean {
  return unit === 'e' || unit === 'w';
}

function isNorthSouth({ unit }: TelemetryValue): boolean {
  return unit === 'n' || unit === 's';
}

function coordinates(north: TelemetryValue, east: TelemetryValue): Coordinates {
  return [
    { fact: 'latitude', raw: north.raw, value: degreesOf(north, 'n', 's') },
    { fact: 'longitude', raw: east.raw, value: degreesOf(east, 'e', 'w') },
  ];
}

function refused(order: Coordinates, reason: string): Coordinates {
  const [north, east] = order;
  return [
    { ...north, value: reason },
    { ...east, value: reason },
  ];
}

function isPossible([north, east]: Coordinates): boolean {
  return inReach(north, 90) && inReach(east, 180);
}

function inReach({ value }: StatedFact, mostDegrees: number): boolean {
  return typeof value === 'number' && Math.abs(value) <= mostDegrees;
}

const nearDegrees = 1;

function isNear([north, east]: Coordinates, { latitude, longitude }: Place): boolean {
  // Meridians meet at the poles: there a degree of longitude is no distance.
  const narrowing = Math.cos((latitude * Math.PI) / 180);
  const eastDegrees = Math.abs(((Number(east.value) - longitude + 540) % 360) - 180) * narrowing;
  return Math.abs(Number(north.value) - latitude) <= nearDegrees && eastDegrees <= nearDegrees;
}
