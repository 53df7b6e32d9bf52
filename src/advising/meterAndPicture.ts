import type { ExposureBasis } from '../domain/finding.ts';
import type { Measurement } from '../domain/measurement.ts';

/** Beyond the stop by which subjects spread the mean of a picture, the difference is worth a sentence. */
const saidStops = 1;

/** What the meter and the mean level of the picture say of one exposure, where both are known; + = over. */
export function meterAndPicture(subject: {
  readonly offset?: { readonly offsetStops: number; readonly basis: ExposureBasis } | undefined;
  readonly measurement?: Measurement | undefined;
}) {
  const { offset, measurement } = subject;
  const pictureStops = measurement?.levelStops?.median;
  if (offset?.basis !== 'metered' || pictureStops === undefined) return undefined;
  const distanceStops = Math.abs(offset.offsetStops - pictureStops);
  return {
    offsets: { meteredStops: offset.offsetStops, pictureStops },
    distanceStops,
    differ: distanceStops > saidStops,
  };
}
