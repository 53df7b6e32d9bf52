import type { Ceiling, FrameMeasure, Measurement, NoScene } from '../domain/measurement.ts';
import type { Facts, RangeName, TransferName } from '../domain/recording.ts';
import type { Frame, FrameGeometry } from './decoding/frame.ts';
import { ceilingCandidates, ceilingEvidence, clipCeiling } from './highlights/ceiling.ts';
import { clippingAt, clippingInside, crushedIn, readPicture } from './highlights/pictureClipping.ts';
import { topCode, bottomCode, shareBetween, type CodeHistogram } from './histograms.ts';
import { lightStops, planLevelMeter, type LevelMeter } from './lightLevel.ts';
import { asNoScene, isAllBlack, isDrawn, withFades } from './noScene.ts';
import { agreedArea, pictureArea, type PictureArea } from './pictureArea.ts';
import { histogramInside, latticeOfFrame, type Inside } from './pictureLattice.ts';
import { codeRange, lumaWeights } from './videoCodes.ts';

/** Measures the single pictures of one clip. */
export interface FrameMeter {
  readonly measure: (frame: Frame) => void;
  /** Whether a picture was measured within so many seconds of a place. */
  readonly looksNear: (atSeconds: number, withinSeconds: number) => boolean;
  /** Of the pictures measured so far, in order of time: judged by one range and one ceiling for all of them. */
  readonly result: () => {
    readonly frames: readonly FrameMeasure[];
    readonly ceiling: Ceiling;
    readonly range: RangeInUse;
    readonly pictureArea: Measurement['pictureArea'];
  };
}

type RangeInUse = NonNullable<Measurement['rangeInUse']>;

type PictureCodes = ReturnType<typeof readPicture>;

interface MeteredPicture {
  readonly atSeconds: number;
  readonly codes: PictureCodes;
  readonly light: Light;
  readonly isDrawn: boolean;
  /** What is inside of a black frame, where this picture has one. */
  readonly framed?: { readonly area: PictureArea; readonly light: Light; readonly luma: CodeHistogram };
}

type Light = Readonly<Record<RangeName, ReturnType<LevelMeter>>>;

/** Prepares measuring by what is known of the clip. */
export function planFrameMeter(facts: Facts, { bitDepth }: FrameGeometry): FrameMeter {
  const recorded = facts.range?.value;
  const believed = recorded ?? 'narrow';
  const transfer = facts.transfer?.value;
  const weights = lumaWeights(transfer);
  const level = (range: RangeName): LevelMeter =>
    transfer === undefined ? () => undefined : planLevelMeter(transfer, range, bitDepth);
  const levels = { narrow: level('narrow'), full: level('full') };
  const rotationDegrees = facts.rotationDegrees?.value ?? 0;
  const lightOf = (frame: Frame, holds?: Inside): Light => ({
    narrow: levels.narrow(frame, holds),
    full: levels.full(frame, holds),
  });
  const mayBeDrawn = facts.exposureSeconds === undefined;
  const codeEnds = codeRange(believed, 8);
  const pictures: MeteredPicture[] = [];

  return {
    measure: (frame) => {
      if (pictures.some(({ atSeconds }) => atSeconds === frame.atSeconds)) return;
      const codes = readPicture(frame, {
        range: believed,
        weights,
        rotationDegrees,
        candidates: (luma) => ceilingCandidates(luma, believed, bitDepth),
      });
      const lattice = latticeOfFrame(frame);
      const area = pictureArea(lattice, codeEnds);
      pictures.push({
        atSeconds: frame.atSeconds,
        codes,
        light: lightOf(frame),
        isDrawn: mayBeDrawn && isDrawn(lattice, codeEnds),
        framed: area && {
          area,
          light: lightOf(frame, area.holds),
          luma: histogramInside(lattice, area.holds),
        },
      });
    },
    looksNear: (place, withinSeconds) =>
      pictures.some(({ atSeconds }) => Math.abs(atSeconds - place) <= withinSeconds),
    result: () => {
      const range = rangeInUse(
        recorded,
        // An editing program's black may lie at 0 whatever the range.
        pictures
          .filter(({ codes }) => !isAllBlack(codes.luma, codeRange(believed, bitDepth)))
          .map(({ codes }) => rangeEvidence(codes.luma, bitDepth)),
      );
      const evidence = pictures.map(({ codes }) =>
        ceilingEvidence(codes.luma, codeRange(range.name, bitDepth), codes.channels.highest),
      );
      const ceiling = clipCeiling(transfer, range.name, evidence);
      const ends = codeRange(range.name, bitDepth);
      const noSceneOf = ({ codes, isDrawn }: MeteredPicture): NoScene | undefined =>
        isAllBlack(codes.luma, ends) ? 'black' : isDrawn ? 'drawing' : undefined;
      const scenes = pictures.filter((picture) => noSceneOf(picture) === undefined);
      const area = agreedArea(scenes.map(({ framed }) => framed?.area));
      const frames = pictures.map((picture) => {
        const noScene = noSceneOf(picture);
        const frame = frameMeasure(picture, { range: range.name, ceiling, transfer, area });
        return noScene === undefined ? frame : asNoScene(frame, noScene);
      });
      const inOrder = frames.sort((a, b) => a.atSeconds - b.atSeconds);
      return { frames: withFades(inOrder), ceiling, range, pictureArea: area };
    },
  };
}

interface Judgement {
  readonly range: RangeName;
  readonly ceiling: Ceiling;
  readonly transfer: TransferName | undefined;
  /** What is measured of all pictures, where that is not the whole of them. */
  readonly area: Measurement['pictureArea'];
}

function frameMeasure(
  { atSeconds, codes, light, framed }: MeteredPicture,
  judgement: Judgement,
): FrameMeasure {
  const { range, ceiling, area } = judgement;
  const inside = framed?.area.shape === area?.shape ? framed : undefined;
  const lit = (inside?.light ?? light)[range];
  const clipping = clippingAt(codes, range, ceiling);
  return {
    atSeconds,
    ...(inside === undefined
      ? clipping
      : clippingInside(clipping, inside.area.fraction, crushedIn(inside.luma, range, 8))),
    levelStops: lit?.levelStops,
    lightQuantilesStops: lit?.quantilesStops,
    headroomStops: headroom(codes, judgement),
  };
}

/** Share of a picture that may lie above its brightest part: noise, single glints. */
const brightestShare = 0.001;

/** From the brightest thousandth of the picture, in any channel, up to where it would be lost; none in a PQ without end. */
function headroom(
  { channels, bitDepth }: PictureCodes,
  { range, ceiling, transfer }: Judgement,
): number | undefined {
  if (transfer === undefined || (transfer === 'pq' && ceiling.basis !== 'observed')) return undefined;
  const { black, peak } = codeRange(range, bitDepth);
  const top = (topCode(channels.highest, brightestShare) - black) / (peak - black);
  const brightest = lightStops(transfer, top);
  const end = lightStops(transfer, ceiling.signal);
  return brightest === undefined || end === undefined ? undefined : Math.max(0, end - brightest);
}

/** Share of a picture. Halos and grades reach past black in up to 1.4% of it, and 0.2% to the last codes; a shadow is larger. */
const leastShare = 0.005;
/** Share of a picture that makes a pile. */
const leastPileShare = 0.001;
/** What noise and halos put beyond the last real code. */
const strayShare = 0.0005;

/**
 * Recommendation ITU-R BT.709-6, item 4.6: narrow range puts black at 16, and codes below are for undershoots, not for
 * picture. So a picture whose shadows end at 0 is in full range, whatever the file says. One that piles up at both 16
 * and 235, with nothing beyond either, is in narrow range.
 */
function rangeEvidence(histogram: CodeHistogram, bitDepth: number): RangeName | undefined {
  const scale = 2 ** (bitDepth - 8);
  const [black, white, near] = [16 * scale, 235 * scale, 2 * scale];
  if (shareBetween(histogram, 0, near) >= leastShare) return 'full';
  const low = bottomCode(histogram, strayShare);
  const high = topCode(histogram, strayShare);
  const pilesAt = (code: number): boolean =>
    shareBetween(histogram, code - near, code + near + 1) >= leastPileShare;
  const within = low >= black - near && high <= white + near;
  return within && pilesAt(black) && pilesAt(white) ? 'narrow' : undefined;
}

/**
 * Of a clip's pictures. Video counts as narrow where nothing is said of its range (BT.709-6, item 4.6). Dark pictures
 * prove full range by themselves; narrow range needs to be seen in every picture that has an opinion.
 */
function rangeInUse(
  recorded: RangeName | undefined,
  evidence: readonly (RangeName | undefined)[],
): RangeInUse {
  const believed: RangeInUse =
    recorded === undefined ? { name: 'narrow', basis: 'assumed' } : { name: recorded, basis: 'recorded' };
  const name = evidence.includes('full') ? 'full' : evidence.find((range) => range !== undefined);
  if (name === undefined || name === believed.name) return believed;
  return { name, basis: 'codes' };
}
