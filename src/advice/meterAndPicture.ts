import type { ExposureBasis } from '../domain/finding.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import {
  assumedTransferStops,
  isTransferAssumed,
  whiteMayBeHigherStops,
} from '../domain/transferUncertainty.ts';

/** Beyond the stop by which subjects spread the mean of a picture, the difference is worth a sentence. */
const saidStops = 1;

/** What the meter and the mean level of the picture say of one exposure, where both are known; + = over. */
export function meterAndPicture(subject: {
  readonly recording: Pick<Recording, 'facts'>;
  readonly offset?: { readonly offsetStops: number; readonly basis: ExposureBasis };
  readonly measurement?: Measurement;
}) {
  const { recording, offset, measurement } = subject;
  const transfer = recording.facts.transfer?.value;
  const pictureStops = measurement?.levelStops?.median;
  if (offset?.basis !== 'metered' || pictureStops === undefined) return undefined;
  const openStops = transfer === undefined ? 0 : whiteMayBeHigherStops(transfer);
  const brighterStops = pictureStops - offset.offsetStops;
  const assumedStops = isTransferAssumed(recording.facts) ? assumedTransferStops : 0;
  const distanceStops = Math.max(-brighterStops - assumedStops, brighterStops - openStops - assumedStops, 0);
  return {
    offsets: { meteredStops: offset.offsetStops, pictureStops },
    distanceStops,
    differ: distanceStops > saidStops,
  };
}
