import { z } from 'zod';
import { counted, formatDuration, formatPercent, formatSpan } from '../domain/format.ts';
import type { FrameMeasure } from '../domain/measurement.ts';
import { defaultLimits } from '../domain/limits.ts';
import { burntSecondsOf, highlightWeight, inPieces, worstClippedFrame } from './clipping.ts';
import { brightnessWeight } from './exposureOffset.ts';
import { finding, type FindingContext, type Found } from './finding.ts';

const thirds = ['upper', 'middle', 'lower'] as const;

const data = z.object({
  maxFraction: z.number(),
  medianFraction: z.number(),
  spanCount: z.number(),
  /** Where it burns, of two or three stretches. */
  spans: z
    .array(z.object({ startSeconds: z.number(), endSeconds: z.number() }))
    .readonly()
    .optional(),
  /** How long it burns altogether. */
  burntSeconds: z.number().optional(),
  /** The largest burnt part of the frame that clips most. */
  largestFraction: z.number().optional(),
  /** The third of the picture that holds most of what is burnt, where one does. */
  mostlyIn: z.enum(thirds).optional(),
});

/** Spans end at a frame that was looked at, so the whole clip may lack a little at its ends. */
const wholeClipShare = 0.9;

export const highlightsClipped = finding({
  kind: 'highlights-clipped',
  data,
  topic: 'highlights',
  title: 'highlights clipped',
  check: ({ recording, measurement, limits }) => {
    const worst = measurement && worstClippedFrame(measurement, 'area');
    const weight = measurement && highlightWeight(measurement, limits);
    if (!worst || weight === undefined) return undefined;
    const { clippedSpans } = measurement;
    const span = clippedSpans.find(
      ({ startSeconds, endSeconds }) => startSeconds <= worst.atSeconds && worst.atSeconds <= endSeconds,
    );
    return {
      weight: brightnessWeight(recording, weight),
      maxFraction: worst.clippedFraction,
      medianFraction: measurement.clippedFraction.median,
      spanCount: clippedSpans.length,
      spans: [2, 3].includes(clippedSpans.length) ? clippedSpans.map(timesOf) : undefined,
      burntSeconds: burntSecondsOf(measurement),
      largestFraction: worst.largestRegionFraction,
      mostlyIn: thirdWithMost(worst),
      startSeconds: span?.startSeconds,
      endSeconds: span?.endSeconds,
    };
  },
  sentence: (clipped, { recordingKind, durationSeconds }) => {
    const [most, usual] = [formatPercent(clipped.maxFraction), formatPercent(clipped.medianFraction)];
    const lost = 'No detail is left there to bring back.';
    const where = whereInPicture(clipped);
    if (recordingKind === 'still') return `Highlights are clipped in ${most} of the picture${where}. ${lost}`;
    const isUsual = clipped.medianFraction > defaultLimits.clippedFraction;
    const inUsual = isUsual ? ` (${usual} in a typical frame)` : '';
    const howMuch =
      most === usual ? `in ${most} of the picture` : `in up to ${most} of the picture${inUsual}`;
    return `Highlights are clipped ${howMuch}${where}${whereInClip(clipped, durationSeconds)}. ${lost}`;
  },
  remedy: (clipped, context) => {
    if (clipped.weight === 'low') return { inTheEdit: 'Let it be white.' };
    return {
      inTheEdit: `What is white is gone for good: ${outsideOfWhite(clipped, context)}.`,
      nextTime: exposedForHighlights(context),
    };
  },
  meaning:
    'A part of the picture is as bright as the camera can record. No detail is there any more, and no grade brings it back: ' +
    'clouds turn into white holes with hard edges.',
  limit: {
    at: `more than ${formatPercent(defaultLimits.clippedFraction)} of the picture; flagged where one part is as large, or scattered flecks add up to five times as much; one part of more than five times as much weighs high; what burns for less than 5 s and half of a clip is a remark, and so large a part for less than 1 s and a quarter of it`,
    reason:
      'smaller glints are in every sunlit scene, and flecks leave what lies between them; five times the accepted area is no fleck any more but a part of the picture; an editor cuts round what lasts less than a shot, and nobody sees a flash as a fault',
    source:
      'EBU R 103 (versions 2 and 3) accepts out-of-range pixels up to 1% of the picture; five times and the length of a shot: common practice, no source',
  },
  example: {
    weight: 'medium',
    maxFraction: 0.031,
    medianFraction: 0.004,
    spanCount: 1,
    largestFraction: 0.024,
    mostlyIn: 'upper',
    startSeconds: 4,
    endSeconds: 6.52,
  },
});

type Clipped = Found<typeof data>;

/** Of what is clipped. */
const mostShare = 0.7;

function thirdWithMost({ clippedThirds, clippedFraction }: FrameMeasure): Clipped['mostlyIn'] {
  return thirds.find((third) => (clippedThirds?.[third] ?? 0) > mostShare * clippedFraction);
}

const thirdsInWords = { upper: 'at the top', middle: 'across the middle', lower: 'at the bottom' } as const;

/** The largest part and its place; of flecks only that they are. */
function whereInPicture({ maxFraction, largestFraction, mostlyIn }: Clipped): string {
  const place = mostlyIn === undefined ? '' : `, most of it ${thirdsInWords[mostlyIn]}`;
  return place + inPieces(maxFraction, largestFraction);
}

function whereInClip(clipped: Clipped, durationSeconds: number | undefined): string {
  const { spanCount, spans, startSeconds, endSeconds } = clipped;
  if (spans !== undefined) return `, from ${inWords(spans)}`;
  if (spanCount > 1) return `, in ${counted(spanCount, 'stretch', 'stretches')}${inAll(clipped)}`;
  if (spanCount < 1 || startSeconds === undefined || endSeconds === undefined) return '';
  return fillsClip(clipped, durationSeconds)
    ? ', all through the clip'
    : `, from ${formatSpan({ startSeconds, endSeconds })}`;
}

function inAll({ burntSeconds }: Clipped): string {
  return burntSeconds === undefined ? '' : `, ${formatDuration(burntSeconds)} in all`;
}

type Span = NonNullable<Clipped['spans']>[number];

function timesOf({ startSeconds, endSeconds }: Span): Span {
  return { startSeconds, endSeconds };
}

function inWords(spans: readonly Span[]): string {
  return `${spans.slice(0, -1).map(formatSpan).join(', ')} and ${formatSpan(spans.at(-1)!)}`;
}

function fillsClip(
  { startSeconds = 0, endSeconds = 0 }: Clipped,
  durationSeconds: number | undefined,
): boolean {
  return durationSeconds !== undefined && endSeconds - startSeconds >= wholeClipShare * durationSeconds;
}

/** What is left to do where highlights are gone. */
function outsideOfWhite(clipped: Clipped, { recordingKind, durationSeconds }: FindingContext): string {
  const { spanCount, spans, startSeconds, endSeconds } = clipped;
  const anywhere = 'crop it out or let it be white';
  if (recordingKind === 'still' || startSeconds === undefined || endSeconds === undefined) return anywhere;
  // Where most of it burns hardly a shot would be left.
  const burntSeconds = clipped.burntSeconds ?? endSeconds - startSeconds;
  if (durationSeconds !== undefined && burntSeconds > durationSeconds / 2) return anywhere;
  if (spans !== undefined) return `let it be white, or leave out ${inWords(spans)}`;
  if (spanCount > 1)
    return 'let it be white, or leave these stretches out: the page and the timeline mark them';
  return `let it be white, or leave out ${formatSpan({ startSeconds, endSeconds })}`;
}

/** Where the advice wants a brighter picture all the same, nothing darker is asked for. */
function exposedForHighlights({ advised }: FindingContext): string | undefined {
  const darker = 'Expose for the brightest part that matters';
  if (advised === undefined)
    return `${darker}: a still with a shorter shutter, a clip with a stronger filter.`;
  return advised.sentence ?? (advised.mayBeDarker ? `${darker}.` : undefined);
}
