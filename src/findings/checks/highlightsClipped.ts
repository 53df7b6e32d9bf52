import type { Check } from '../check.ts';
import { clippedWeight, worstClippedFrame } from '../clipping.ts';
import { brightnessWeight } from '../composite.ts';

/** highlights-clipped: a spread-out part of the picture is at the ceiling, and larger than accepted. */
export const highlightsClipped: Check = ({ recording, measurement, limits }) => {
  const worst = measurement && worstClippedFrame(measurement, 'area');
  if (!worst || worst.clippedFraction <= limits.clippedFraction) return undefined;
  const { clippedSpans } = measurement;
  const span = clippedSpans.find(
    ({ startSeconds, endSeconds }) => startSeconds <= worst.atSeconds && worst.atSeconds <= endSeconds,
  );
  return {
    kind: 'highlights-clipped',
    weight: brightnessWeight(recording, clippedWeight(worst.clippedFraction, limits)),
    maxFraction: worst.clippedFraction,
    medianFraction: measurement.clippedFraction.median,
    spanCount: clippedSpans.length,
    ...(span && { startSeconds: span.startSeconds, endSeconds: span.endSeconds }),
  };
};
