import type { Finding, FindingWeight } from '../domain/finding.ts';
import type { Judged } from './check.ts';
import { checks } from './checks/index.ts';

const order: Readonly<Record<FindingWeight, number>> = { high: 0, medium: 1, low: 2 };

/** All that the checks find in one recording, the weightiest first. */
export function judge(subject: Judged): readonly Finding[] {
  const findings = checks.flatMap((check) => check(subject) ?? []);
  return findings.sort((a, b) => order[a.weight] - order[b.weight]);
}
