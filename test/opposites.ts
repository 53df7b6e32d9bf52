import type { ReportedRecording } from '../src/document/reportedRecording.ts';
import type { ReportedSequence } from '../src/document/auditDocument.ts';
import { commonKit } from '../src/domain/filterKit.ts';
import { filterText } from '../src/report/filterWording.ts';

/** What a sentence may ask of the next flight, in pairs that exclude each other. */
const pairs: readonly (readonly [RegExp, RegExp])[] = [
  [/\bmore light\b|\bbrighter\b/i, /\bless light\b|\bdarker\b/i],
  [
    /\bweaker\b|\bno filter instead\b|\bFly without\b|\btook .* too much\b/,
    /\bstronger\b|\bdarker\b|\btake the light\b.*\baway\b|\blight too much came in\b/,
  ],
];

type Advised = Pick<ReportedRecording, 'path' | 'findings' | 'filter' | 'facts'>;

/** The same of a group of stills. */
export function oppositesInGroup({ paths, findings, filter }: ReportedSequence): readonly string[] {
  return oppositesIn({ path: paths.join(' '), findings, filter, facts: {} });
}

/** Two remedies of one recording that ask for opposite things, as texts to print; empty where none do. */
export function oppositesIn(recording: Advised): readonly string[] {
  const { path, findings, filter, facts } = recording;
  const texts = [
    ...findings.map(({ nextTime }) => nextTime),
    filter && filterText(filter, { kit: commonKit, kitAssumed: true }),
  ].filter((text) => text !== undefined);
  const opposed = pairs.filter((pair) => pair.every((asked) => texts.some((text) => asked.test(text))));
  const iso = facts.iso?.value;
  const wanted = texts.flatMap((text) =>
    [...text.matchAll(/\bISO (\d+)/g)].map(([, value]) => Number(value)),
  );
  const upAndDown =
    iso !== undefined &&
    wanted.some((value) => value > iso * 1.05) &&
    wanted.some((value) => value < iso / 1.05);
  return opposed.length > 0 || upAndDown ? [`${path}: ${texts.join(' | ')}`] : [];
}
