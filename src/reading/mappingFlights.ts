import { viewMetres, wayMetres, wayNorthEast } from '../domain/cameraWay.ts';
import type { MappingFlight } from '../domain/sequence.ts';
import { median } from '../domain/statistics.ts';
import { simultaneousSeconds, type TimedStill } from './recordedTime.ts';

/*
 * What a mapping flight looks like in what stills record. Every picture shows other ground than the one before, with an
 * overlap of 60 to 90%; the camera is triggered by time or by way, so one of them is even along a line, and pauses at its
 * ends; most look straight down. Where nothing says so, height, a speed beyond walking, and lines back and forth do: two
 * of the three, for cars drive fast and people walk to and fro. All numbers: common practice, no source.
 */

const fewestInFlight = 5;
/** At the end of a line an aircraft turns; behind more it is another flight. */
const longestGapSeconds = 120;
/** Less is sway, or a camera that moves for the look of it; where the view is known, a share of it. */
const leastStepMetres = 3;
const leastShareOfView = 0.03;
const downPitchDegrees = -45;
const flyingHeightMetres = 15;
const walkingMetresPerSecond = 3;
/** No aircraft that maps goes faster, and clocks of whole seconds are up to one off. */
const fastestMetresPerSecond = 120;
const evenFraction = 0.25;
const leastEvenShare = 0.6;
/** So even in time and in way, on lines to and fro and for so many pictures, nobody walks. */
const autopilot = { evenFraction: 0.1, pictures: 40 };
/** Directions within this angle are one line: wind and turns bend it. */
const lineDegrees = 25;
/** Of the steps, so many go along the lines, and so many either way. */
const leastShareAlong = 0.5;
const leastBack = 0.15;

interface Step {
  readonly seconds: number;
  readonly metres: number;
  /** Clockwise from north, radians. */
  readonly direction: number;
}

/** Mapping flights among stills of one camera and size, in the order of time. */
export function mappingFlightsIn(stills: readonly TimedStill[]): readonly MappingFlight[] {
  const flights: TimedStill[][] = [];
  for (const still of stills) {
    const flight = flights.at(-1);
    if (flight && isNextOf(flight.at(-1)!, still)) flight.push(still);
    else flights.push([still]);
  }
  return flights.flatMap((flight) => mappingFlight(flight) ?? []);
}

function isNextOf(still: TimedStill, next: TimedStill): boolean {
  const [from, to] = [still.recording.facts, next.recording.facts];
  const [seconds, metres] = [next.atSeconds - still.atSeconds, wayMetres(from, to)];
  return (
    seconds <= longestGapSeconds &&
    metres !== undefined &&
    metres <= fastestMetresPerSecond * (seconds + 1) &&
    from.focalLengthMm?.value === to.focalLengthMm?.value
  );
}

function mappingFlight(flight: readonly TimedStill[]): MappingFlight | undefined {
  if (flight.length < fewestInFlight) return undefined;
  const facts = flight.map(({ recording }) => recording.facts);
  const steps = flight
    .slice(1)
    .map((still, at) => stepBetween(flight[at]!, still))
    .filter(({ seconds, metres }) => seconds > simultaneousSeconds || metres > 0);
  const stepMetres = median(steps.map(({ metres }) => metres)) ?? 0;
  const view = median(facts.flatMap((each) => viewMetres(each) ?? []));
  if (stepMetres < (view === undefined ? leastStepMetres : leastShareOfView * view)) return undefined;
  const recordedSpeed = median(facts.flatMap(({ groundSpeedMetresPerSecond: speed }) => speed?.value ?? []));
  const evidence = {
    stepMetres,
    speedMetresPerSecond:
      recordedSpeed ?? median(steps.map(({ metres, seconds }) => metres / Math.max(seconds, 1e-3)))!,
    heightMetres: median(facts.flatMap(({ heightOverStartMetres }) => heightOverStartMetres?.value ?? [])),
    pitchDegrees: median(facts.flatMap(({ cameraPitchDegrees }) => cameraPitchDegrees?.value ?? [])),
    isInLines: goesInLines(steps),
  };
  if (!looksLikeMapping(evidence, steps)) return undefined;
  return { kind: 'mapping', members: flight.map(({ recording }) => recording), ...evidence };
}

function stepBetween(still: TimedStill, next: TimedStill): Step {
  const [north, east] = wayNorthEast(still.recording.facts, next.recording.facts)!;
  return {
    seconds: next.atSeconds - still.atSeconds,
    metres: Math.hypot(north, east),
    direction: Math.atan2(east, north),
  };
}

function looksLikeMapping(
  evidence: Omit<MappingFlight, 'kind' | 'members' | 'stepMetres'>,
  steps: readonly Step[],
): boolean {
  const { speedMetresPerSecond, heightMetres, pitchDegrees, isInLines } = evidence;
  const [times, ways] = [steps.map(({ seconds }) => seconds), steps.map(({ metres }) => metres)];
  const regular = isEven(times) || isEven(ways);
  if (pitchDegrees !== undefined) return pitchDegrees <= downPitchDegrees && (regular || isInLines);
  const signs = [
    (heightMetres ?? 0) >= flyingHeightMetres,
    speedMetresPerSecond > walkingMetresPerSecond,
    isInLines,
  ].filter(Boolean).length;
  const isFlown = [times, ways].every((values) => isEven(values, autopilot.evenFraction));
  return (regular && signs >= 2) || (isInLines && isFlown && steps.length >= autopilot.pictures);
}

function isEven(values: readonly number[], within = evenFraction): boolean {
  const usual = median(values)!;
  const even = values.filter((value) => Math.abs(value - usual) <= within * usual);
  return even.length >= leastEvenShare * values.length;
}

/** Whether most of the way goes along one line, to and fro. */
function goesInLines(steps: readonly Step[]): boolean {
  // Doubled angles make both ways of a line one direction.
  const x = steps.reduce((sum, { metres, direction }) => sum + metres * Math.cos(2 * direction), 0);
  const y = steps.reduce((sum, { metres, direction }) => sum + metres * Math.sin(2 * direction), 0);
  const axis = Math.atan2(y, x) / 2;
  const along = (step: Step): number => Math.cos(step.direction - axis);
  const limit = Math.cos((lineDegrees * Math.PI) / 180);
  const [there, back] = [
    steps.filter((step) => along(step) >= limit),
    steps.filter((step) => along(step) <= -limit),
  ];
  return (
    there.length + back.length >= leastShareAlong * steps.length &&
    Math.min(there.length, back.length) >= leastBack * steps.length
  );
}
