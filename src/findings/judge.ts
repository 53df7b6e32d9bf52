import type { LightFault } from '../domain/advice.ts';
import type { FindingWeight } from '../domain/findingWeight.ts';
import type { KitFilter } from '../domain/filterKit.ts';
import { isDoubtful } from './exposureWindow.ts';
import type { FlightLight, Judged, JudgedSequence } from './finding.ts';
import {
  flightFindings,
  recordingFindings,
  sequenceFindings,
  type Finding,
  type FindingKind,
} from './index.ts';

const order: Readonly<Record<FindingWeight, number>> = { high: 0, medium: 1, low: 2 };

/** The weightiest first; equals keep their order. */
export function mostSeriousFirst(findings: readonly Finding[]): readonly Finding[] {
  return findings.toSorted((a, b) => order[a.weight] - order[b.weight]);
}

/** All that is found in one recording by itself, the weightiest first. */
export function judge(judged: Judged): readonly Finding[] {
  return mostSeriousFirst(recordingFindings.flatMap<Finding>(({ find }) => find(judged)));
}

export function judgeSequence(judged: JudgedSequence): readonly Finding[] {
  return mostSeriousFirst(sequenceFindings.flatMap<Finding>(({ find }) => find(judged)));
}

/** What is found in recordings only beside the others of their flight, by path. Their order makes no difference. */
export function judgeFlight(
  flight: readonly FlightLight[],
  kit: readonly KitFilter[],
): ReadonlyMap<string, readonly Finding[]> {
  return new Map(
    flight.map((member) => [
      member.recording.path,
      flightFindings.flatMap<Finding>(({ find }) => find({ member, flight, kit })),
    ]),
  );
}

/** What a sequence answers for as a whole: its frames are bright, dark or burnt on purpose, or all alike. */
const answeredBySequence: ReadonlySet<FindingKind> = new Set<FindingKind>([
  'too-bright',
  'too-dark',
  'highlights-clipped',
  'disc-clipped',
  'shadows-crushed',
]);

/** The findings of a still that stand although it belongs to a bracket or series. */
export function findingsOfMember(findings: readonly Finding[]): readonly Finding[] {
  return findings.filter(({ kind }) => !answeredBySequence.has(kind));
}

/** What was found that another exposure would mend, without remarks that may be about the subject. */
export function lightFaults(findings: readonly Finding[]): ReadonlySet<LightFault> {
  return new Set(
    findings.flatMap((finding): readonly LightFault[] => {
      switch (finding.kind) {
        case 'too-bright':
        case 'too-dark':
          return isDoubtful(finding) ? [] : [finding.kind];
        case 'highlights-clipped':
        case 'channel-clipped':
        case 'iso-raised':
          return [finding.kind];
        default:
          return [];
      }
    }),
  );
}
