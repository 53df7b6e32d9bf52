import type { Overexposure } from '../domain/measurement.ts';

// How much lies above the ceiling cannot be seen in the picture: scenes with the same clipped area were overexposed by
// anything between a little and several stops, and the shape of the histogram below the ceiling says next to nothing
// more (tried: slope of the tail). So this is experience: pictures of eight sources (clips, aerial and other stills)
// were made brighter by known amounts of 0.15 to 4 stops until more than 1 % was lost, and for each clipped area the
// amounts were put in order. Of the pictures of a source that was left out, 82 % lay inside the interval
// (test/bench/overexposureBench.ts does it again).

interface Experience {
  /** Share of the picture that is lost where 1 % is accepted. */
  readonly clippedFraction: number;
  /** Nineteen of twenty pictures were overexposed by more. */
  readonly leastStops: number;
  /** One of ten pictures by less, one of ten by more. */
  readonly lowStops: number;
  readonly highStops: number;
}

const experience: readonly Experience[] = [
  { clippedFraction: 0.0125, leastStops: 0.15, lowStops: 0.15, highStops: 1.53 },
  { clippedFraction: 0.02, leastStops: 0.15, lowStops: 0.15, highStops: 1.99 },
  { clippedFraction: 0.04, leastStops: 0.15, lowStops: 0.15, highStops: 2.91 },
  { clippedFraction: 0.08, leastStops: 0.15, lowStops: 0.15, highStops: 2.91 },
  { clippedFraction: 0.16, leastStops: 0.15, lowStops: 0.38, highStops: 3.14 },
  { clippedFraction: 0.32, leastStops: 0.38, lowStops: 0.61, highStops: 3.37 },
  { clippedFraction: 0.64, leastStops: 0.61, lowStops: 0.84, highStops: 3.6 },
];
const acceptedThen = 0.01;

/** How much darker a picture should have been, from the area that is lost in it; undefined where that is accepted. */
export function overexposureOf(clippedFraction: number, acceptedFraction: number): Overexposure | undefined {
  if (clippedFraction <= acceptedFraction) return undefined;
  const like = acceptedFraction > 0 ? (clippedFraction * acceptedThen) / acceptedFraction : 1;
  const above = experience.findIndex((known) => known.clippedFraction >= like);
  if (above <= 0) return ofExperience(experience.at(above === 0 ? 0 : -1)!);
  const [low, high] = [experience[above - 1]!, experience[above]!];
  const share = Math.log(like / low.clippedFraction) / Math.log(high.clippedFraction / low.clippedFraction);
  const between = (name: keyof Experience): number => low[name] + share * (high[name] - low[name]);
  return ofExperience({
    clippedFraction: like,
    leastStops: between('leastStops'),
    lowStops: between('lowStops'),
    highStops: between('highStops'),
  });
}

function ofExperience({ leastStops, lowStops, highStops }: Experience): Overexposure {
  return { leastStops, lowStops, highStops, basis: 'tail' };
}
