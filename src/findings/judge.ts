import type { LightFault } from '../domain/advice.ts';
import type { FindingWeight } from '../domain/findingWeight.ts';
import type { KitFilter } from '../domain/filterKit.ts';
import type { StillSequence } from '../domain/sequence.ts';
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

/** What a series or a mapping flight answers for as a whole: its frames are all alike. */
const answeredBySeries: ReadonlySet<FindingKind> = new Set<FindingKind>([
  'too-bright',
  'too-dark',
  'highlights-clipped',
  'disc-clipped',
  'shadows-crushed',
]);
/** Frames of a bracket are bright, dark or burnt on purpose, and the ISO is part of it. */
const answeredByBracket: ReadonlySet<FindingKind> = new Set<FindingKind>([
  ...answeredBySeries,
  'channel-clipped',
  'iso-raised',
  'not-a-scene',
]);

/** A mapping flight wants short exposures, whatever the ISO. */
const answeredByFlight: ReadonlySet<FindingKind> = new Set<FindingKind>([...answeredBySeries, 'iso-raised']);

const answered: Readonly<Record<StillSequence['kind'], ReadonlySet<FindingKind>>> = {
  bracket: answeredByBracket,
  interval: answeredBySeries,
  mapping: answeredByFlight,
  burst: new Set(),
  panorama: new Set(),
};

/** The findings of a still that stand although it belongs to a group. */
export function findingsOfMember(
  findings: readonly Finding[],
  { kind }: Pick<StillSequence, 'kind'>,
): readonly Finding[] {
  return findings.filter((finding) => !answered[kind].has(finding.kind));
}

/** What was found that another exposure would mend, without remarks: flecks and bright subjects are in good pictures too. */
export function lightFaults(findings: readonly Finding[]): ReadonlySet<LightFault> {
  return new Set(
    findings.flatMap((finding): readonly LightFault[] => {
      switch (finding.kind) {
        case 'too-bright':
        case 'too-dark':
          return isDoubtful(finding) ? [] : [finding.kind];
        case 'highlights-clipped':
        case 'channel-clipped':
          return finding.weight === 'low' ? [] : [finding.kind];
        case 'iso-raised':
          return [finding.kind];
        default:
          return [];
      }
    }),
  );
}
