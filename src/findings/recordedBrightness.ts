import type { TrackSample } from '../domain/recording.ts';
import { stopsFromRatio } from '../domain/stops.ts';
import type { BrightnessAt } from './swings.ts';

const settings = ['exposureSeconds', 'iso', 'fNumber'] as const;

/**
 * Brightness that the recorded settings give over time, against an unknown but constant zero; + = brighter. A setting
 * that most samples lack is left out: its change is not known.
 */
export function recordedBrightness(samples: readonly TrackSample[]): readonly BrightnessAt[] {
  const known = settings.filter(
    (name) => samples.filter((sample) => sample[name] !== undefined).length * 2 > samples.length,
  );
  if (known.length === 0) return [];
  return samples.flatMap((sample) => {
    const parts = known.map((name) => settingStops(name, sample[name]));
    if (parts.includes(undefined)) return [];
    const stops = parts.reduce<number>((sum, part) => sum + (part ?? 0), 0);
    return [{ atSeconds: sample.startSeconds, stops }];
  });
}

function settingStops(name: (typeof settings)[number], value: number | undefined): number | undefined {
  if (value === undefined) return undefined;
  return name === 'fNumber' ? -2 * stopsFromRatio(value) : stopsFromRatio(value);
}
