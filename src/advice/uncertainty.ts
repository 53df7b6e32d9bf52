import type { ExposureBasis } from '../domain/findingWeight.ts';
import type { FittedFilter } from '../domain/filterKit.ts';
import type { TransferName } from '../domain/recording.ts';
import { assumedTransferStops, whiteMayBeHigherStops } from '../domain/transferCurves.ts';

/*
 * How far the needed strength may be off, in stops, as one standard deviation. The parts are independent and add in
 * quadrature.
 */

/**
 * Marks of exposure time and ISO are rounded from exact thirds of stops by at most 0.093 (uniform: 0.054 standard
 * deviation); two of them give 0.08, and the metered third-stop steps of some writers bring it to a tenth.
 */
const marksStops = 0.1;

/**
 * A meter works in thirds of stops and ISO 2720 leaves its calibration 0.34 stop (K 10.6 to 13.4). The mean level of
 * a picture depends on the subject and on the camera's curve: the levels of 461 ordinary photographs by over 150 cameras
 * spread by 0.8 stop. With neither, the exposure is taken as right, to about a stop.
 */
const offsetStops: Readonly<Record<ExposureBasis | 'none', number>> = { metered: 0.3, picture: 0.8, none: 1 };

/** Strong filters are reported to miss their label by up to a stop in ten: half of that, per stop of the label. */
const labelStopsPerStop = 0.05;

/** Where white may lie anywhere from its place to so many stops above, the level misses by this in the root mean square. */
const placementStops = (transfer: TransferName | undefined): number =>
  transfer === undefined ? 0 : whiteMayBeHigherStops(transfer) / Math.sqrt(3);

/** Difference between meter and picture that the subject explains: the spread of scenes against mid-grey, as above. */
const subjectStops = 0.7;

/**
 * @returns stops, one standard deviation, > 0
 * @example uncertaintyStops({ basis: 'metered', fitted: { label: 'ND16', stops: 4, source: 'notes' } }) // 0.374
 */
export function uncertaintyStops(subject: {
  readonly basis?: ExposureBasis;
  readonly fitted?: FittedFilter;
  /** Of the picture that the level was measured in. */
  readonly transfer?: TransferName;
  /** Whether nobody recorded that. */
  readonly isTransferAssumed?: boolean;
  /** The distance between both where both are known, >= 0. */
  readonly meterAgainstPictureStops?: number;
  /** Of what was measured in the picture: an exposure time, how far highlights were over. */
  readonly measuredStops?: number;
}): number {
  const label = labelStopsPerStop * (subject.fitted?.stops ?? 0);
  // What the subject does not explain, either of the two got wrong: half of it each way.
  const unexplained = Math.max(0, (subject.meterAgainstPictureStops ?? 0) - subjectStops) / 2;
  return Math.hypot(
    marksStops,
    offsetStops[subject.basis ?? 'none'],
    label,
    unexplained,
    subject.basis === 'picture' ? placementStops(subject.transfer) : 0,
    subject.basis === 'picture' && subject.isTransferAssumed === true ? assumedTransferStops : 0,
    subject.measuredStops ?? 0,
    subject.fitted?.spreadStops ?? 0,
  );
}
