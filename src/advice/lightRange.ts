/** Brightness of the scene during a stretch of a clip, against the clip's own typical one; + = brighter. */
export interface LightPiece {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly stops: number;
}

/** The brightest and the darkest light that lasts, against the typical one. */
export interface LightRange {
  readonly brightestStops: number;
  readonly darkestStops: number;
}

/** Light that spans less than this is one light: marks are rounded by as much. */
export const steadyStops = 0.1;

/** What is shorter is gone before it is looked at: common practice, no source. */
const usuallyLastingSeconds = 2;

/** How long light must stay to count in a clip of this length: in a short one, half of it. */
export function lastingSeconds(clipSeconds: number): number {
  return Math.min(usuallyLastingSeconds, clipSeconds / 2);
}

/** Keeps rounding of times from cutting a stretch short. */
const roundingSeconds = 1e-6;

/**
 * The brightest and darkest stretch that lasts.
 *
 * @example lightRange([{ startSeconds: 0, endSeconds: 5, stops: 1 }, { startSeconds: 5, endSeconds: 6, stops: 4 }]) // { brightestStops: 1, darkestStops: 1 }
 */
export function lightRange(pieces: readonly LightPiece[]): LightRange {
  const length = pieces.reduce((sum, { startSeconds, endSeconds }) => sum + endSeconds - startSeconds, 0);
  if (length <= 0) return { brightestStops: 0, darkestStops: 0 };
  const lasting = lastingSeconds(length) - roundingSeconds;
  const sustained = (sign: 1 | -1) =>
    sign *
    highestLasting(
      pieces.map((piece) => sign * piece.stops),
      pieces,
      lasting,
    );
  return { brightestStops: sustained(1), darkestStops: sustained(-1) };
}

/** Largest of the least values over stretches of the wanted length. A track may hold 300,000 pieces: each is met once. */
function highestLasting(values: readonly number[], pieces: readonly LightPiece[], lasting: number): number {
  let highest = -Infinity;
  let covered = 0;
  let to = 0;
  // Places of the stretch whose value is below all that follow: the first holds the least (sliding-window minimum).
  const least: number[] = [];
  let first = 0;
  for (let from = 0; from < pieces.length; from += 1) {
    for (; to < pieces.length && (covered < lasting || to <= from); to += 1) {
      while (least.length > first && values[least.at(-1)!]! >= values[to]!) least.pop();
      least.push(to);
      covered += secondsOf(pieces[to]!);
    }
    if (covered < lasting) break;
    highest = Math.max(highest, values[least[first]!]!);
    if (least[first] === from) first += 1;
    covered -= secondsOf(pieces[from]!);
  }
  return highest;
}

const secondsOf = ({ startSeconds, endSeconds }: LightPiece): number => endSeconds - startSeconds;
