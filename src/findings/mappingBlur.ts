import { z } from 'zod';
import { viewMetres } from '../domain/cameraWay.ts';
import { formatExposure } from '../domain/format.ts';
import type { Recording } from '../domain/recording.ts';
import type { MappingFlight } from '../domain/sequence.ts';
import { median, quantile } from '../domain/statistics.ts';
import { commonPractice, finding, type JudgedSequence } from './finding.ts';

/** Pixels that the ground may move: below one, edges stay sharp; above two, fine detail is gone; common practice, no source. */
const sharpPixels = 1;
const softPixels = 2;
/** The worst tenth is left out: a turn, a gust. */
const usuallyBelow = 0.9;

export const mappingBlur = finding({
  kind: 'mapping-blur',
  data: z.object({
    blurPixels: z.number(),
    speedMetresPerSecond: z.number(),
    sharpSeconds: z.number(),
  }),
  topic: 'blur',
  title: 'motion blur on the ground',
  check: ({ sequence }: JudgedSequence) => {
    if (sequence.kind !== 'mapping') return undefined;
    const blurs = sequence.members.flatMap((member) => pixelsOf(member, sequence) ?? []);
    const blurPixels = quantile(blurs, usuallyBelow);
    const pixelsPerSecond = median(sequence.members.flatMap((member) => pixelSpeed(member, sequence) ?? []));
    if (blurPixels === undefined || pixelsPerSecond === undefined || blurPixels <= sharpPixels)
      return undefined;
    return {
      weight: blurPixels > softPixels ? 'medium' : 'low',
      blurPixels,
      speedMetresPerSecond: sequence.speedMetresPerSecond,
      sharpSeconds: sharpPixels / pixelsPerSecond,
    };
  },
  sentence: ({ blurPixels, speedMetresPerSecond }) =>
    `At ${speedMetresPerSecond.toFixed(1)} m/s the ground moved by up to ${blurPixels.toFixed(1)} pixels while the shutter was open: ` +
    'fine detail is smeared along the line.',
  remedy: ({ sharpSeconds }) => ({
    inTheEdit: 'Let the mapping program work at half size; it loses nothing that is there.',
    nextTime: `Expose for ${formatExposure(sharpSeconds)} or shorter and let the ISO rise, or fly slower.`,
  }),
  meaning:
    'The aircraft flew on while the shutter was open, so every picture of the mapping flight is smeared along the line. Points ' +
    'are matched less exactly, and the map is softer than its pixels.',
  limit: {
    at: `more than ${sharpPixels} pixel in more than a tenth of the pictures; flagged above ${softPixels}`,
    reason:
      'speed over ground times exposure time, in pixels of the ground that the camera sees from its height over the start',
    source: commonPractice,
  },
  example: { weight: 'medium', blurPixels: 3.2, speedMetresPerSecond: 8, sharpSeconds: 1 / 1000 },
});

/** The usual blur of a mapping flight; undefined where height or angle of view is not known. */
export function usualBlurPixels(flight: MappingFlight): number | undefined {
  return median(flight.members.flatMap((member) => pixelsOf(member, flight) ?? []));
}

function pixelsOf(member: Recording, flight: MappingFlight): number | undefined {
  const [speed, exposure] = [pixelSpeed(member, flight), member.facts.exposureSeconds?.value];
  return speed === undefined || exposure === undefined ? undefined : speed * exposure;
}

/** Of the ground, in pixels per second. */
function pixelSpeed({ facts }: Recording, { speedMetresPerSecond }: MappingFlight): number | undefined {
  const view = viewMetres(facts);
  if (view === undefined || facts.width === undefined) return undefined;
  return ((facts.groundSpeedMetresPerSecond?.value ?? speedMetresPerSecond) * facts.width.value) / view;
}
