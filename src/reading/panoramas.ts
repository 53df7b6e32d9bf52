import { turnDegrees, wayMetres } from '../domain/cameraWay.ts';
import type { Facts } from '../domain/recording.ts';
import type { Panorama } from '../domain/sequence.ts';
import { median } from '../domain/statistics.ts';
import type { TimedStill } from './recordedTime.ts';

/*
 * What is known of panoramas. The camera turns on one spot, by steps that overlap: a fifth to a half of what it sees, so
 * 15 to 70 degrees with the lenses of aircraft; with several rows it tilts and turns again. Where no heading was
 * recorded, nothing tells. All numbers: common practice, no source.
 */

const fewestInPanorama = 3;
const spotMetres = 5;
const longestPauseSeconds = 10;
const leastTurnDegrees = 8;
const mostTurnDegrees = 75;
/** Share of the steps that go one way round; the others are the rows. */
const mostOfThem = 0.7;
/** Steps of a short one may differ by so much: people look round by chance. */
const evenRatio = 1.6;
const fewSteps = 4;

/** Panoramas among stills of one camera and size, in the order of time. */
export function panoramasIn(stills: readonly TimedStill[]): readonly Panorama[] {
  const turns: TimedStill[][] = [];
  for (const still of stills) {
    const turn = turns.at(-1);
    if (turn && isNextOf(turn.at(-1)!, still)) turn.push(still);
    else turns.push([still]);
  }
  return turns.flatMap((turn) => panorama(turn) ?? []);
}

function isNextOf(still: TimedStill, next: TimedStill): boolean {
  const [from, to] = [still.recording.facts, next.recording.facts];
  const turn = turnDegrees(from, to);
  if (turn === undefined) return false;
  const looked = Math.max(Math.abs(turn), Math.abs(tiltDegrees(from, to)));
  const pause = next.atSeconds - still.atSeconds - (from.exposureSeconds?.value ?? 0);
  return (
    pause <= longestPauseSeconds &&
    looked >= leastTurnDegrees &&
    looked <= mostTurnDegrees &&
    (wayMetres(from, to) ?? 0) <= spotMetres &&
    from.focalLengthMm?.value === to.focalLengthMm?.value
  );
}

function tiltDegrees(from: Facts, to: Facts): number {
  return (to.cameraPitchDegrees?.value ?? 0) - (from.cameraPitchDegrees?.value ?? 0);
}

function panorama(turn: readonly TimedStill[]): Panorama | undefined {
  if (turn.length < fewestInPanorama) return undefined;
  const facts = turn.map(({ recording }) => recording.facts);
  const turns = facts.slice(1).map((to, at) => turnDegrees(facts[at]!, to)!);
  const steps = turns.filter((each) => Math.abs(each) >= leastTurnDegrees);
  const right = steps.filter((each) => each > 0).length;
  const oneWay = Math.max(right, steps.length - right);
  if (steps.length < fewestInPanorama - 1 || oneWay < mostOfThem * steps.length) return undefined;
  const sizes = steps.map(Math.abs);
  const even = Math.max(...sizes) <= evenRatio * Math.min(...sizes);
  if (steps.length < fewSteps && (!even || oneWay < steps.length)) return undefined;
  return {
    kind: 'panorama',
    members: turn.map(({ recording }) => recording),
    turnDegrees: Math.abs(turns.reduce((sum, each) => sum + each, 0)),
    stepDegrees: median(sizes)!,
  };
}
