import type { Finding } from '../../domain/finding.ts';
import type { Recording } from '../../domain/recording.ts';
import type { Check } from '../check.ts';

type Missing = Pick<Extract<Finding, { kind: 'shutter-unknown' }>, 'missing' | 'tracks' | 'refused'>;

/** shutter-unknown: what the shutter angle follows from was not recorded, or cannot be read or believed. */
export const shutterUnknown: Check = ({ recording, measurement }) => {
  const { exposureSeconds, frameRate } = recording.facts;
  if (recording.kind !== 'clip' || (exposureSeconds && frameRate)) return undefined;
  if (frameRate && measurement?.shutter?.verdict === 'short') return undefined;
  const blurReason = measurement?.shutter?.reason;
  return {
    kind: 'shutter-unknown',
    weight: 'low',
    ...(exposureSeconds ? { missing: 'frame-rate' } : missingExposure(recording)),
    ...(blurReason === undefined ? {} : { blurReason }),
  };
};

function missingExposure({ refusals, unreadTracks }: Recording): Missing {
  const refusal = refusals.find(({ what }) => what === 'exposureSeconds');
  if (refusal !== undefined) {
    const { raw, source, reason } = refusal;
    return { missing: 'believable-exposure', refused: { raw, source, reason } };
  }
  return unreadTracks === undefined
    ? { missing: 'exposure' }
    : { missing: 'unread-track', tracks: unreadTracks };
}
