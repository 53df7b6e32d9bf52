import type { HostileCase } from '../../sample-media-generator/hostile/cases.ts';

export type Outcome = 'problem' | 'aside' | 'audited' | 'audited-with-refusals' | 'audited-and-problem';

const all: readonly Outcome[] = [
  'problem',
  'aside',
  'audited',
  'audited-with-refusals',
  'audited-and-problem',
];

export function settled(one: HostileCase, measure: 'off' | 'sampled'): readonly Outcome[] {
  void measure;
  return one.expect === 'any' ? all : [one.expect];
}
