import type { FrameMeasure, NoScene } from '../domain/measurement.ts';
import { topCode, type CodeHistogram } from './histograms.ts';
import { countsOf, shareOfCommonest, type PictureLattice } from './pictureLattice.ts';

// Titles, drawings, screens and colour bars are no scenes, and nobody exposed them. What tells them from photographs is
// that neighbouring places have exactly one colour: a photograph has noise. Of 514 photographs of open collections six
// were as flat over 60% of their area: a moon, a burnt chart, a screenshot and three damaged files; of some 80 drawings and
// scans beside them 54. Where it is in doubt, and always where a camera recorded an exposure, a picture is judged.
// test/measuring/noScene.test.ts shows what the numbers tell apart.

/** Share of the picture in which a place has the colour of those to its right and below it. */
const flatShare = 0.6;
/** Different colours among the places of the lattice: fewer than any photograph; and fewer than most. */
const drawnColours = 64;
const fewColours = 400;
/** Share of white beyond which few colours do not tell a drawing on paper from a burnt sky; and of flat places that are neither. */
const mostWhite = 0.05;
const flatBetween = 0.3;
/** Beside the ground, which is the commonest colour, few colours make up most: what is left of a burnt or a dark picture has many. */
const commonest = 8;
const commonShare = 0.5;
/** Share of the picture that is no ground, and that is brighter than this share of the range: a night is neither. */
const leastDrawn = 0.005;
const drawnSignal = 0.25;

/** Of the range: noise of a codec, or of a sensor behind a cap; and what is burnt. */
const blackSignal = 0.03;
const whiteSignal = 0.98;

/** Black and white of the 8-bit codes in use. */
interface CodeEnds {
  readonly black: number;
  readonly peak: number;
}

/** Whether a picture consists of a few flat colours, as titles, drawings, screens and colour bars do. */
export function isDrawn(lattice: PictureLattice, { black, peak }: CodeEnds): boolean {
  const { columns, rows, luma, colours } = lattice;
  const inner = (columns - 1) * (rows - 1);
  const codeOf = (signal: number): number => black + signal * (peak - black);
  const [darkest, whitest] = [codeOf(blackSignal), codeOf(whiteSignal)];
  let [flat, between] = [0, 0];
  for (let row = 0; row < rows - 1; row++)
    for (let place = row * columns, end = place + columns - 1; place < end; place++)
      if (colours[place] === colours[place + 1] && colours[place] === colours[place + columns]) {
        flat++;
        if (luma[place]! > darkest && luma[place]! < whitest) between++;
      }
  if (inner <= 0 || flat < flatShare * inner) return false;
  const counts = countsOf(colours);
  const [ground] = [...counts].reduce((most, entry) => (entry[1] > most[1] ? entry : most));
  const drawn = colours.filter((colour) => colour !== ground);
  const bright = luma.filter((code) => code > codeOf(drawnSignal));
  if (Math.min(drawn.length, bright.length) < leastDrawn * luma.length) return false;
  if (shareOfCommonest(drawn, commonest) < commonShare) return false;
  const different = counts.size;
  if (different <= drawnColours) return true;
  const white = luma.filter((code) => code >= whitest).length / luma.length;
  return different <= fewColours && (white <= mostWhite || between >= flatBetween * inner);
}

/** Share of a picture that may be brighter: hot pixels. */
const strayShare = 0.001;

/** Whether nothing is in a picture: a cap on the lens, or black that an editor put there. */
export function isAllBlack(luma: CodeHistogram, { black, peak }: CodeEnds): boolean {
  return topCode(luma, strayShare) <= black + blackSignal * (peak - black);
}

/** Longer, it is the light that changes; common practice, no source. */
const longestFadeSeconds = 5;
/** A fade changes more from one looked-at picture to the next; a view hardly does. */
const fadingStops = 0.5;

/**
 * Marks what belongs to a fade from black at the start of a clip or to black at its end: from a black picture on, each
 * that the next one outshines.
 *
 * @param frames in order of time
 */
export function withFades(frames: readonly FrameMeasure[]): readonly FrameMeasure[] {
  const faded = new Set([...fadingFrom(frames), ...fadingFrom(frames.toReversed())]);
  return frames.map((frame) => (faded.has(frame) ? asNoScene(frame, 'fade') : frame));
}

function fadingFrom(frames: readonly FrameMeasure[]): readonly FrameMeasure[] {
  const start = frames.findIndex(({ noScene }) => noScene !== 'black');
  const black = frames[start - 1];
  if (black === undefined) return [];
  const end = frames.findIndex((frame, at) => {
    const [level, next] = [frame.levelStops, frames[at + 1]?.levelStops];
    const isFading = level !== undefined && next !== undefined && next - level > fadingStops;
    return at >= start && (!isFading || Math.abs(frame.atSeconds - black.atSeconds) > longestFadeSeconds);
  });
  return frames.slice(start, end);
}

/** What was measured stands, but for the light: nobody exposed it. */
export function asNoScene(frame: FrameMeasure, noScene: NoScene): FrameMeasure {
  return {
    ...frame,
    noScene,
    levelStops: undefined,
    lightQuantilesStops: undefined,
    headroomStops: undefined,
  };
}
