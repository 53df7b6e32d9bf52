import type { ReportedSequence, ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedFinding, ReportedRecording } from '../document/reportedRecording.ts';
import { capital, counted, formatPercent, stopsInWords } from '../domain/format.ts';
import { findingTitle } from '../findings/index.ts';
import { fileName, ownFindings, weighsEnough } from './arrangement.ts';
import { markedSpan, spanText } from './clipPlace.ts';
import { isPartOfPicture, marksOf, type Mark } from './marks.ts';
import { sequenceNames } from './sequenceWording.ts';

/** All that flags a recording in one sentence, and what of it can be used where that is a part. */
export function faultSentence(recording: ReportedRecording, settings: ReportedSettings): string {
  const flagged = ownFindings(recording.findings).filter(weighsEnough);
  const marks = marksOf(recording, settings);
  const faults = [...new Set(flagged.map((finding) => faultPhrase(finding, recording, { marks, settings })))];
  return `${capital([...faults, ...usablePart(recording, marks)].join('; '))}.`;
}

interface Marked {
  readonly marks: readonly Mark[];
  readonly settings: ReportedSettings;
}

function faultPhrase(
  finding: ReportedFinding,
  recording: ReportedRecording,
  { marks, settings }: Marked,
): string {
  const { shutter, picture, exposure } = recording;
  switch (finding.kind) {
    case 'shutter-short':
    case 'shutter-long': {
      const unseen = shutter?.matters === 'no' ? ', but nobody will see it' : '';
      const by = shutter?.offsetStops === undefined ? '' : `${stopsInWords(shutter.offsetStops)} `;
      return `shutter ${by}${by === '' ? 'too ' : ''}${finding.kind === 'shutter-short' ? 'short' : 'long'}${unseen}`;
    }
    case 'highlights-clipped': {
      const most = picture?.clippedFraction.max;
      const share = most === undefined ? '' : `${formatPercent(most)} `;
      // As one part so much would weigh high.
      const flecks =
        finding.weight === 'medium' && isPartOfPicture(most ?? 0, settings.clippedFraction)
          ? ' in flecks'
          : '';
      return `${share}burnt${flecks}${burntWhere(finding, recording, marks)}`;
    }
    case 'too-bright':
    case 'too-dark':
      return exposure.offsetStops === undefined
        ? findingTitle(finding.kind)
        : `${stopsInWords(exposure.offsetStops)} ${finding.kind === 'too-bright' ? 'over' : 'under'}`;
    default:
      return findingTitle(finding.kind);
  }
}

/** Nothing where it is all of the clip, or a still. */
function burntWhere(
  { startSeconds, endSeconds }: ReportedFinding,
  recording: ReportedRecording,
  marks: readonly Mark[],
): string {
  const spans = recording.picture?.clippedSpans ?? [];
  if (recording.kind === 'still' || spans.length === 0) return '';
  if (spans.length > 1) return ` in ${counted(spans.length, 'stretch', 'stretches')}`;
  const duration = recording.facts.durationSeconds?.value ?? 0;
  if (startSeconds === undefined || endSeconds === undefined || endSeconds - startSeconds > 0.9 * duration)
    return ' all through';
  return ` from ${spanText(recording, markedSpan({ startSeconds, endSeconds }, marks))}`;
}

/** The longest stretch that can be used, where something spoils the rest. */
function usablePart(recording: ReportedRecording, marks: readonly Mark[]): readonly string[] {
  const lengthOf = ({ startSeconds, endSeconds }: Mark) => endSeconds - startSeconds;
  const [longest, ...others] = marks
    .filter(({ kind }) => kind === 'usable')
    .toSorted((a, b) => lengthOf(b) - lengthOf(a));
  if (longest === undefined || marks.every(({ spoils }) => !spoils)) return [];
  const more = others.length === 0 ? '' : ` and ${others.length} more`;
  return [`usable ${spanText(recording, longest)}${more}`];
}

/** A flagged bracket or series: what it is, its members, and what flags it. */
export function sequenceRow({ kind, paths, findings }: ReportedSequence) {
  const titles = findings.filter(weighsEnough).map(({ kind: found }) => findingTitle(found));
  return {
    name: `${fileName(paths[0] ?? '')} to ${fileName(paths.at(-1) ?? '')}`,
    text: `${capital(sequenceNames[kind].singular)} of ${paths.length}: ${[...new Set(titles)].join(', ')}.`,
  };
}
