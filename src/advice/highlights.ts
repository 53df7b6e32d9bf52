import type { HighlightsWant } from '../domain/advice.ts';

/** What the picture says of its highlights; each part is absent where it was not measured. */
export interface HighlightRoom {
  /** Share of the picture in a spread-out burnt part that is larger than accepted. The sun's disc is none. */
  readonly burntFraction?: number;
  /** How far the burnt part lies above the ceiling. */
  readonly overStops?: number;
  /** One standard deviation of that. */
  readonly overSpreadStops?: number;
  /** How much brighter the picture could have been before anything that counts reached the ceiling. */
  readonly roomStops?: number;
}

/**
 * A burnt part looks the same however far it is over, so a first step is named: a stop, and then another look;
 * common practice, no source.
 */
const firstStepStops = 1;

/** Lifting a picture by more costs too much in noise, so what burns beyond that is left to burn; common practice, no source. */
const mostDarkerStops = 2;

/**
 * Where the highlights want the exposure, against what the meter (or the level) wants: darker where a part of the
 * picture burns although the exposure is right, and less brightening of a dark picture than its highlights stand.
 *
 * @param exposure `offsetStops` as it was recorded, + = over
 * @returns undefined where the highlights have nothing against a right exposure
 * @example highlightsWant({ offsetStops: 0, room: { burntFraction: 0.05, overStops: 0.7 } }) // { offsetStops: -0.7, burntFraction: 0.05 }
 */
export function highlightsWant(exposure: {
  readonly offsetStops: number;
  readonly room: HighlightRoom;
}): HighlightsWant | undefined {
  const { offsetStops, room } = exposure;
  if (room.burntFraction !== undefined) {
    const wanted = offsetStops - (room.overStops ?? firstStepStops);
    if (wanted >= 0) return undefined;
    const firstStep = room.overStops === undefined;
    const beyondStops = -mostDarkerStops - wanted;
    return {
      offsetStops: Math.max(wanted, -mostDarkerStops),
      burntFraction: room.burntFraction,
      firstStep: firstStep ? true : undefined,
      beyondStops: beyondStops > 0.3 ? beyondStops : undefined,
    };
  }
  const reached = offsetStops + (room.roomStops ?? Infinity);
  return reached < 0 ? { offsetStops: reached } : undefined;
}
