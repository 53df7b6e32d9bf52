import { blackFrame } from './blackFrame.ts';
import { bracketFrameMissing } from './bracketFrameMissing.ts';
import { bracketHighlightsLost } from './bracketHighlightsLost.ts';
import { bracketSettingsChange } from './bracketSettingsChange.ts';
import { bracketShadowsLost } from './bracketShadowsLost.ts';
import { bracketUneven } from './bracketUneven.ts';
import { channelClipped } from './channelClipped.ts';
import { decodedInPart } from './decodedInPart.ts';
import { discClipped } from './discClipped.ts';
import { exposureDrifts } from './exposureDrifts.ts';
import { exposurePumps } from './exposurePumps.ts';
import { exposureUneven } from './exposureUneven.ts';
import { filterContradicted } from './filterContradicted.ts';
import { filterForgotten } from './filterForgotten.ts';
import { flicker } from './flicker.ts';
import { frameRateMix } from './frameRateMix.ts';
import { highlightsClipped } from './highlightsClipped.ts';
import { isoRaised } from './isoRaised.ts';
import { mappingBlur } from './mappingBlur.ts';
import { rangeContradicted } from './rangeContradicted.ts';
import { notAScene } from './notAScene.ts';
import { seriesExposureShort } from './seriesExposureShort.ts';
import { seriesExposureSteps } from './seriesExposureSteps.ts';
import { seriesFramesDropped } from './seriesFramesDropped.ts';
import { seriesHighlightsClipped } from './seriesHighlightsClipped.ts';
import { seriesTooBright } from './seriesTooBright.ts';
import { seriesTooDark } from './seriesTooDark.ts';
import { shadowsCrushed } from './shadowsCrushed.ts';
import { shutterContradicted } from './shutterContradicted.ts';
import { shutterEdge } from './shutterEdge.ts';
import { shutterFieldOrFrame } from './shutterFieldOrFrame.ts';
import { shutterImpossible } from './shutterImpossible.ts';
import { shutterLong } from './shutterLong.ts';
import { shutterShort } from './shutterShort.ts';
import { shutterShortByBlur } from './shutterShortByBlur.ts';
import { shutterUnknown } from './shutterUnknown.ts';
import { slowMotion } from './slowMotion.ts';
import { sourcesDisagree } from './sourcesDisagree.ts';
import { splitPart } from './splitPart.ts';
import { tooBright } from './tooBright.ts';
import { tooDark } from './tooDark.ts';
import { unevenFrames } from './unevenFrames.ts';
import type { FindingContext, Remedy } from './finding.ts';

// Every kind of finding that there is. Findings of equal weight keep the order of their list.

/** Of a recording by itself. */
export const recordingFindings = [
  shutterImpossible,
  shutterShort,
  shutterLong,
  shutterShortByBlur,
  shutterContradicted,
  shutterEdge,
  shutterFieldOrFrame,
  notAScene,
  highlightsClipped,
  channelClipped,
  tooBright,
  tooDark,
  exposureDrifts,
  exposurePumps,
  flicker,
  rangeContradicted,
  isoRaised,
  decodedInPart,
  unevenFrames,
  sourcesDisagree,
  shadowsCrushed,
  discClipped,
  blackFrame,
  shutterUnknown,
  slowMotion,
  splitPart,
] as const;

/** Of a recording among the others of its flight. */
export const flightFindings = [filterForgotten, filterContradicted, frameRateMix] as const;

/** Of a group of stills. */
export const sequenceFindings = [
  bracketFrameMissing,
  bracketSettingsChange,
  bracketHighlightsLost,
  bracketShadowsLost,
  bracketUneven,
  seriesExposureShort,
  seriesHighlightsClipped,
  seriesTooBright,
  seriesTooDark,
  seriesFramesDropped,
  seriesExposureSteps,
  mappingBlur,
  exposureUneven,
] as const;

const findings = [...recordingFindings, ...flightFindings, ...sequenceFindings] as const;

/** Everything an audit can say about what it judged. */
export type Finding = ReturnType<(typeof findings)[number]['find']>[number];
export type FindingKind = Finding['kind'];

export const findingKinds = findings.map(({ kind }) => kind);

const byKind = Object.fromEntries(findings.map((each) => [each.kind, each])) as {
  readonly [Kind in FindingKind]: (typeof findings)[number];
};

/** What a kind of finding is called where there is room for a few words only. */
export function findingTitle(kind: FindingKind): string {
  return byKind[kind].title;
}

export function findingTopic(kind: FindingKind): string {
  return byKind[kind].topic;
}

/** The sentence that tells a pilot what is wrong and whether it matters. */
export function findingText(finding: Finding, context: FindingContext = {}): string {
  // Kind and data belong together by the list above; TypeScript cannot follow that through the index.
  return byKind[finding.kind].sentence(finding as never, context);
}

export function findingRemedy(finding: Finding, context: FindingContext = {}): Remedy {
  return byKind[finding.kind].remedy(finding as never, context);
}

/** What there is to know about a kind of finding; how one reads, and what to do about it, by its example. */
export function explanationOf(kind: FindingKind) {
  const { title, meaning, limit, example } = byKind[kind];
  const finding = { ...example, kind } as Finding;
  return { title, meaning, limit, reads: findingText(finding), ...findingRemedy(finding) };
}
