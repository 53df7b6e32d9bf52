import type { RangeInUse } from '../domain/measurement.ts';
import type { RangeName } from '../domain/recording.ts';
import { bottomCode, shareBetween, topCode, type CodeHistogram } from './codeHistogram.ts';

/** What the codes of one picture say of the range they are in; the codes of most pictures say nothing. */
export type RangeEvidence = RangeName | undefined;

/** Share of a picture. Halos of sharpening and noise reach past black in a thousandth of it; a shadow is larger. */
const leastShare = 0.005;
/** Share of a picture that makes a pile. */
const leastPileShare = 0.001;
/** What noise and halos put beyond the last real code. */
const strayShare = 0.0005;

/**
 * Recommendation ITU-R BT.709-6, item 4.6: narrow range puts black at 16, and codes below are for undershoots, not for
 * picture. So a picture with a share of codes halfway below black is in full range, whatever the file says. One that
 * piles up at both 16 and 235, with nothing beyond either, is in narrow range.
 */
export function rangeEvidence(histogram: CodeHistogram, bitDepth: number): RangeEvidence {
  const scale = 2 ** (bitDepth - 8);
  const [black, white, near] = [16 * scale, 235 * scale, 2 * scale];
  if (shareBetween(histogram, 0, black / 2 + 1) >= leastShare) return 'full';
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
export function rangeInUse(recorded: RangeName | undefined, evidence: readonly RangeEvidence[]): RangeInUse {
  const believed: RangeInUse =
    recorded === undefined ? { name: 'narrow', basis: 'assumed' } : { name: recorded, basis: 'recorded' };
  const said = evidence.filter((one) => one !== undefined);
  const name = said.includes('full') ? 'full' : said.at(0);
  if (name === undefined || name === believed.name) return believed;
  return { name, basis: 'codes' };
}
