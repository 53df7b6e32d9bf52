import type { Check } from '../check.ts';
import { decodedInPart } from './decodedInPart.ts';
import { discClipped } from './discClipped.ts';
import { exposureDrifts } from './exposureDrifts.ts';
import { exposurePumps } from './exposurePumps.ts';
import { flicker } from './flicker.ts';
import { highlightsClipped } from './highlightsClipped.ts';
import { isoRaised } from './isoRaised.ts';
import { offsetOutside } from './offsetOutside.ts';
import { rangeContradicted } from './rangeContradicted.ts';
import { shadowsCrushed } from './shadowsCrushed.ts';
import { slowMotion } from './slowMotion.ts';
import { splitPart } from './splitPart.ts';
import { unevenFrames } from './unevenFrames.ts';
import { shutterFieldOrFrame } from './shutterFieldOrFrame.ts';
import { shutterEdge } from './shutterEdge.ts';
import { shutterContradicted } from './shutterContradicted.ts';
import { shutterShortByBlur } from './shutterShortByBlur.ts';
import { shutterImpossible } from './shutterImpossible.ts';
import { shutterOff } from './shutterOff.ts';
import { shutterUnknown } from './shutterUnknown.ts';
import { disagreeableFacts, sourcesDisagree } from './sourcesDisagree.ts';

/** Every check there is; findings of equal weight keep this order. */
export const checks: readonly Check[] = [
  shutterImpossible,
  shutterOff,
  shutterShortByBlur,
  shutterContradicted,
  shutterEdge,
  shutterFieldOrFrame,
  highlightsClipped,
  offsetOutside,
  exposureDrifts,
  exposurePumps,
  flicker,
  rangeContradicted,
  isoRaised,
  decodedInPart,
  unevenFrames,
  ...disagreeableFacts.map(sourcesDisagree),
  shadowsCrushed,
  discClipped,
  shutterUnknown,
  slowMotion,
  splitPart,
];
