import type { PlannedExposure } from '../../domain/plan.ts';
import { formatDuration, formatExposure, formatRate } from '../../domain/format.ts';

/** What is to be shot, under its heading. */
export interface HeadedExposure {
  readonly heading: string;
  readonly exposure: PlannedExposure;
}

/** Each exposure once: rates that are shot with the same marked shutter, such as 29.97 and 30, share their filters. */
export function headedExposures(exposures: readonly PlannedExposure[]): readonly HeadedExposure[] {
  const groups = new Map<string | number, PlannedExposure[]>();
  for (const exposure of exposures) {
    const { framesPerSecond, targetSeconds } = exposure;
    const shared = framesPerSecond === undefined ? targetSeconds : formatExposure(targetSeconds);
    groups.set(shared, [...(groups.get(shared) ?? []), exposure]);
  }
  return [...groups.values()].map((group) => ({ heading: headingOf(group), exposure: group[0]! }));
}

function headingOf(group: readonly PlannedExposure[]): string {
  const { framesPerSecond, intervalSeconds, targetSeconds } = group[0]!;
  const time = formatExposure(targetSeconds);
  if (framesPerSecond !== undefined)
    return `${group.map((each) => formatRate(each.framesPerSecond ?? 0)).join(' or ')} fps, ${time}`;
  return intervalSeconds === undefined
    ? `Long exposure, ${time}`
    : `Every ${formatDuration(intervalSeconds)}, ${time}`;
}
