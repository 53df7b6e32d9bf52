import { ev100 } from '../domain/exposure.ts';
import type { FittedFilter } from '../domain/kit.ts';
import type { Recording } from '../domain/recording.ts';
import type { ExposureOffset } from './check.ts';

/** How a recording was exposed, and the light on its scene where the filter is known. */
export function reportedExposure(
  recording: Recording,
  offset: ExposureOffset | undefined,
  fitted: FittedFilter | undefined,
) {
  const { facts } = recording;
  const settingsEv100 = ev100({
    fNumber: facts.fNumber?.value,
    exposureSeconds: facts.exposureSeconds?.value,
    iso: facts.iso?.value,
  });
  return {
    ev100: settingsEv100,
    sceneEv100:
      settingsEv100 === undefined || fitted === undefined
        ? undefined
        : settingsEv100 + fitted.stops + lightBeyond(recording, offset),
    ...offset,
  };
}

/** What the picture had too much of; a picture's own offset is held against the bias that was dialled in. */
function lightBeyond({ kind, facts }: Recording, offset: ExposureOffset | undefined): number {
  const bias = kind === 'still' && offset?.basis === 'picture' ? (facts.exposureBiasStops?.value ?? 0) : 0;
  return (offset?.offsetStops ?? 0) + bias;
}
