import { z } from 'zod';
import { isLowLight } from '../domain/daylight.ts';
import { stopsInWords } from '../domain/format.ts';
import { defaultLimits } from '../domain/limits.ts';
import { ev100, settingsOf, stopsFromRatio } from '../domain/exposure.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import { exposureSecondsForAngle } from '../domain/shutter.ts';
import { commonPractice, finding, type FindingContext, type Judged } from './finding.ts';

/** Stops above base: two marks, less of which is not worth a change; common practice, no source. */
const lowStops = 0.6;
/** Stops above base from which noise shows in most cameras; common practice, no source. */
const mediumStops = 2;

export const isoRaised = finding({
  kind: 'iso-raised',
  data: z.object({
    iso: z.number(),
    baseIso: z.number(),
    overStops: z.number(),
    /** Set where the shutter was shorter than wanted by so much that base ISO would have done at the wanted one. */
    shutterTookIt: z.literal(true).optional(),
  }),
  topic: 'ISO',
  title: 'ISO raised',
  check: (judged) => {
    const { recording, limits, offset } = judged;
    const iso = recording.facts.iso?.value;
    if (iso === undefined) return undefined;
    const overStops = stopsFromRatio(iso / limits.baseIso);
    if (overStops <= lowStops) return undefined;
    const settings = ev100(settingsOf(recording.facts));
    const isNeeded =
      recording.kind === 'still' &&
      settings !== undefined &&
      isLowLight(settings + (offset?.offsetStops ?? 0));
    const weight = overStops > mediumStops && !isNeeded ? 'medium' : 'low';
    const shutterTookIt = shutterShortStops(judged) >= overStops || undefined;
    return { weight, iso, baseIso: limits.baseIso, overStops, shutterTookIt };
  },
  sentence: ({ iso, baseIso, overStops, shutterTookIt }, context) =>
    `ISO ${Math.round(iso)} is ${stopsInWords(overStops)} above base ISO ${Math.round(baseIso)}, which costs noise and ` +
    `highlight room${shutterTookIt ? ': the shutter was so short that it needed it' : cause(context)}.`,
  remedy: ({ baseIso, overStops }, { advised }) => ({
    inTheEdit:
      overStops > 1 ? 'Denoise before you sharpen or brighten.' : 'Brighten with care: noise comes up.',
    nextTime:
      advised?.sentence ??
      (advised?.needsIso === true
        ? 'Keep ISO as low as the light allows.'
        : `Set ISO ${Math.round(baseIso)}${advised ? '' : ', with a longer shutter for a still and a weaker filter for a clip'}.`),
  }),
  meaning:
    'The camera amplified its signal instead of letting more light in. That costs noise in the shadows and room in the ' +
    'highlights, which a weaker filter might have spared.',
  limit: {
    at: `more than ${lowStops} stop above base ISO ${defaultLimits.baseIso} (exposure.baseIso); flagged from ${mediumStops} stops, but for stills at night and in rooms (EV 8 and less)`,
    reason:
      'less than two marks is not worth a change; from two stops on noise shows in most cameras; a still in low light has nothing else left to set',
    source: `${commonPractice}; low light: the exposure guides of ANSI PH2.7`,
  },
  example: { weight: 'low', iso: 400, baseIso: 100, overStops: 2 },
});

/** How much shorter the shutter of a clip was than wanted; 0 where that is not known. */
function shutterShortStops({ recording: { kind, facts }, limits }: Judged): number {
  if (kind !== 'clip' || !facts.exposureSeconds || !facts.frameRate) return 0;
  const wantedSeconds = exposureSecondsForAngle({
    angleDegrees: limits.shutterAngleDegrees,
    framesPerSecond: framesPerSecond(facts.frameRate.value),
  });
  return stopsFromRatio(wantedSeconds / facts.exposureSeconds.value);
}

/** A still has more to set than a filter. */
function cause({ advised, recordingKind }: FindingContext): string {
  if (advised?.light === 'low') return ': the light was low, as it is at night and in rooms';
  if (advised?.light === 'low-or-filtered') return ': the light was low, or a filter made it so';
  return recordingKind === 'still' ? '' : ': the filter was too strong, or the light was low';
}
