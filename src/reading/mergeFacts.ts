import type { Fact, FactName, Facts, FactValues, Sighting } from '../domain/recording.ts';
import { compareText } from './compareText.ts';
import { agree, comparePrecedence } from './precedence.ts';
import type { FactSighting } from './sighting.ts';

/** One fact for each name that was sighted; what disagrees with it beyond rounding is kept beside it. */
export function mergeFacts(sightings: readonly FactSighting[]): Facts {
  const byName = new Map<FactName, FactSighting[]>();
  for (const one of sightings) byName.set(one.fact, [...(byName.get(one.fact) ?? []), one]);
  const facts = [...byName]
    .sort(([a], [b]) => compareText(a, b))
    .map(([name, seen]) => [name, merge(name, seen)]);
  return Object.fromEntries(facts) as Facts;
}

function merge<N extends FactName>(name: N, seen: readonly FactSighting[]): Fact<FactValues[N]> {
  const [first, ...rest] = seen
    .toSorted(comparePrecedence)
    .map(({ value, source }) => ({ value, source }) as Sighting<FactValues[N]>);
  const others = rest.filter((one) => !agree(name, first!.value, one.value)).filter(isFirstOfItsKind);
  return { ...first!, ...(others.length === 0 ? {} : { others }) };
}

function isFirstOfItsKind<T>(one: Sighting<T>, at: number, all: readonly Sighting<T>[]): boolean {
  return all.findIndex((other) => JSON.stringify(other) === JSON.stringify(one)) === at;
}
