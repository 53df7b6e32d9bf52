import type { TrackSample } from '../domain/recording.ts';

// What is known of "EV" in telemetry, before any code: where exposure is automatic it is the compensation that was
// dialled in, and where it is set by hand the reading of the meter (common practice, no source). Nothing in the text
// says which. A compensation stands still while the camera moves shutter or ISO; a meter moves while both stand still.

// Half the smallest step in which a camera shows either.
const movesStops = 0.05;

/** Gives each EV its meaning where the clip shows which it is; elsewhere it stays as it was read. */
export function withEvMeaning(samples: readonly TrackSample[]): readonly TrackSample[] {
  const meaning = evMeaning(samples);
  if (meaning === undefined) return samples;
  return samples.map(({ evAsReadStops, ...sample }) =>
    evAsReadStops === undefined ? sample : { [meaning]: evAsReadStops, ...sample },
  );
}

function evMeaning(samples: readonly TrackSample[]): 'exposureBiasStops' | 'meteredOffsetStops' | undefined {
  const withEv = samples.filter(({ evAsReadStops }) => evAsReadStops !== undefined);
  const settings = [
    withEv.flatMap(({ exposureSeconds }) =>
      exposureSeconds === undefined ? [] : Math.log2(exposureSeconds),
    ),
    withEv.flatMap(({ iso }) => (iso === undefined ? [] : Math.log2(iso))),
    withEv.flatMap(({ fNumber }) => (fNumber === undefined ? [] : 2 * Math.log2(fNumber))),
  ];
  const [times = [], sensitivities = []] = settings;
  const isTold = times.length === withEv.length && sensitivities.length === withEv.length;
  const settingsMove = settings.some(moves);
  const evMoves = moves(withEv.map(({ evAsReadStops }) => evAsReadStops!));
  if (settingsMove && !evMoves) return 'exposureBiasStops';
  return evMoves && !settingsMove && isTold ? 'meteredOffsetStops' : undefined;
}

function moves(stops: readonly number[]): boolean {
  let [low, high] = [Infinity, -Infinity];
  for (const value of stops) [low, high] = [Math.min(low, value), Math.max(high, value)];
  return high - low > movesStops;
}
