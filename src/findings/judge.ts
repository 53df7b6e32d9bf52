import type { Finding, FindingWeight } from '../domain/finding.ts';
import type { Judged } from './check.ts';
import { checks } from './checks/index.ts';

const order: Readonly<Record<FindingWeight, number>> = { high: 0, medium: 1, low: 2 };

/** All that the checks find in one recording, the weightiest first. */
export function judge(subject: Judged): readonly Finding[] {
  return mostSeriousFirst(checks.flatMap((check) => check(subject) ?? []));
}

/** The weightiest first; equals keep their order. */
export function mostSeriousFirst(findings: readonly Finding[]): readonly Finding[] {
  return findings.toSorted((a, b) => order[a.weight] - order[b.weight]);
}
