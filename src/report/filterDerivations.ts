import type { ReportedRecording } from '../domain/reportedRecording.ts';
import type { Derivation } from './derivation.ts';
import { formatStops, stopsInWords } from '../domain/format.ts';

type Filtered = Pick<ReportedRecording, 'filter'>;

/** How the filter to carry was found. */
export function filterDerivations(recording: ReportedRecording): readonly (Derivation | undefined)[] {
  return [toAdd(recording), needed(recording), best(recording)];
}

function toAdd({ filter }: Filtered): Derivation | undefined {
  if (filter?.additionalStops === undefined) return undefined;
  const spread = filter.uncertaintyStops === undefined ? '' : `, ±${filter.uncertaintyStops.toFixed(1)}`;
  const basis = filter.basis === undefined ? '' : `, from the ${filter.basis}`;
  return { label: 'filter to add', sum: `${formatStops(filter.additionalStops)} stops${spread}${basis}` };
}

function needed({ filter }: Filtered): Derivation | undefined {
  if (filter?.neededStops === undefined) return undefined;
  const result = `${filter.neededStops.toFixed(1)} stops`;
  if (filter.fitted === undefined || filter.additionalStops === undefined)
    return { label: 'filter needed', sum: result };
  const fitted = `${filter.fitted.stops.toFixed(1)} (${filter.fitted.label}, ${filter.fitted.source})`;
  const floor = filter.fitted.stops + filter.additionalStops < 0 ? ', not below 0' : '';
  return {
    label: 'filter needed',
    sum: `${fitted} ${formatStops(filter.additionalStops)} = ${result}${floor}`,
  };
}

function best({ filter }: Filtered): Derivation | undefined {
  if (filter?.pick === undefined) return undefined;
  const { label, stops, leavesStops } = filter.pick;
  return {
    label: 'best of the kit',
    sum: `${label}, ${stopsInWords(stops)}; leaves ${formatStops(leavesStops)} stops`,
  };
}
