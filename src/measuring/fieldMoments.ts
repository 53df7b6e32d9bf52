import type { ScanName } from '../domain/recording.ts';
import type { Frame } from './decoding/frame.ts';

// Two fields of one moment fit into each other row by row; of two moments they show a comb wherever something moves. How
// much of a comb a picture has depends on its detail, so its own is compared with those of two other weaves: of
// consecutive frames A and B, the lower field of A stands among the rows of the upper field of B, and the other way round.
//   upper field first   A upper, A lower, B upper, B lower follow each other: the first weave is as good as A itself, in
//                       the second three fields' time lies between the rows;
//   lower field first   the same the other way round;
//   of one moment       in both a whole frame's time lies between the rows, and both have more of a comb than A.
// ffmpeg's filter idet, which rests on the same comparison, is what the limits below were tried against, on pans over a
// photograph, real motion and broadcasts in H.264 and MPEG-2, woven both ways, with noise and without.

/** By so much, as a share, one other weave must have more of a comb than the other. Both have it after a vertical shift. */
const leastAsymmetry = 0.04;
/** What the better weave has more than the frame itself, against the worse one: 0 interlaced, 1 of one moment. */
const mostOfInterlaced = 0.75;
/** What is in between nobody knows: coding, and shifts down the picture, bring broadcasts to 0.95. */
const leastOfOneMoment = 0.96;
/** By so much more of a comb both must have where the fields are of one moment: coding alone makes an eighth. */
const leastExcess = 0.25;
/** Frames farther apart than their consecutive ones are no pair. */
const mostFramesApart = 1.5;
/** Pairs of a clip that must agree, of those that tell: one may lie across a cut. */
const agreeingShare = 0.75;
/** Combs are summed in about this many columns. */
const columns = 640;

/** Tells from pairs of consecutive frames, every row of them, whether their fields are of one moment. */
export function planFieldMoments(framesPerSecond: number) {
  const answers: PairAnswer[] = [];
  let opened: Pick<Frame, 'luma' | 'atSeconds'> | undefined;
  return {
    first: (frame: Frame): void => {
      const { luma, atSeconds } = frame;
      opened = hasEveryRow(frame) ? { luma: luma.slice(), atSeconds } : undefined;
    },
    second: (frame: Frame): void => {
      const framesApart = opened && (frame.atSeconds - opened.atSeconds) * framesPerSecond;
      const isPair = framesApart !== undefined && framesApart <= mostFramesApart && hasEveryRow(frame);
      const answer = opened && isPair ? pairAnswer(opened.luma, frame) : undefined;
      if (answer !== undefined) answers.push(answer);
      opened = undefined;
    },
    /** Undefined where too little moved, or pairs disagree. */
    result: (): Exclude<ScanName, 'fields'> | undefined => {
      const most = (['one-moment', 'upper-first', 'lower-first'] as const).find(
        (answer) => answers.filter((other) => other === answer).length >= agreeingShare * answers.length,
      );
      if (answers.length === 0 || most === undefined) return undefined;
      return most === 'one-moment' ? 'progressive-in-fields' : 'interlaced';
    },
  };
}

function hasEveryRow({ rowStep = 1, lumaShrunkBy = 1 }: Frame): boolean {
  return rowStep === 1 && lumaShrunkBy === 1;
}

type PairAnswer = 'one-moment' | 'upper-first' | 'lower-first';

function pairAnswer(first: Frame['luma'], { luma: second, width, height }: Frame): PairAnswer | undefined {
  const size = { width, height };
  const own = (comb(first, first, size) + comb(second, second, size)) / 2;
  const [upperFirst, lowerFirst] = [comb(second, first, size), comb(first, second, size)];
  const [near, far] = [Math.min(upperFirst, lowerFirst), Math.max(upperFirst, lowerFirst)];
  const [nearExcess, farExcess] = [near - own, far - own];
  if (far > (1 + leastAsymmetry) * near && nearExcess <= mostOfInterlaced * farExcess)
    return upperFirst < lowerFirst ? 'upper-first' : 'lower-first';
  const isOneMoment = nearExcess > leastExcess * own && nearExcess >= leastOfOneMoment * farExcess;
  return isOneMoment ? 'one-moment' : undefined;
}

/** How far rows lie from the mean of their neighbours, where even rows are of one picture and odd rows of another. */
function comb(
  even: Frame['luma'],
  odd: Frame['luma'],
  { width, height }: { readonly width: number; readonly height: number },
): number {
  const step = Math.max(1, Math.floor(width / columns));
  let sum = 0;
  for (let y = 1; y < height - 1; y++) {
    const [own, other] = y % 2 === 0 ? [even, odd] : [odd, even];
    for (let at = y * width; at < (y + 1) * width; at += step)
      sum += Math.abs(2 * own[at]! - other[at - width]! - other[at + width]!);
  }
  return sum;
}
