import type { ReportedRecording } from '../document/reportedRecording.ts';
import { formatStops } from '../domain/format.ts';

/** How a clip's shutter stands against its target, in a few characters; undefined where nothing can be said. */
export function shutterVerdict({ kind, shutter, findings }: ReportedRecording): string | undefined {
  if (findings.some((finding) => finding.kind === 'shutter-impossible')) return 'impossible';
  if (kind === 'still' || shutter === undefined || shutter.verdict === 'unknown') return undefined;
  const { verdict, offsetStops } = shutter;
  return offsetStops === undefined ? verdict : `${formatStops(offsetStops)} ${verdict}`;
}
