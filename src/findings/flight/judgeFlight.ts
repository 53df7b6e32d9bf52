import type { Finding } from '../../domain/finding.ts';
import type { KitFilter } from '../../domain/kit.ts';
import { filterLight, type FlightLight } from './filterLight.ts';
import { frameRateMix } from './frameRateMix.ts';

/** What is found in recordings only beside the others of their flight, by path. Their order makes no difference. */
export function judgeFlight(
  flight: readonly FlightLight[],
  kit: readonly KitFilter[],
): ReadonlyMap<string, readonly Finding[]> {
  const light = filterLight(flight, kit);
  const rates = frameRateMix(flight.map(({ recording }) => recording));
  return new Map(
    flight.map(({ recording: { path } }) => [
      path,
      [light.get(path), rates.get(path)].filter((finding) => finding !== undefined),
    ]),
  );
}
