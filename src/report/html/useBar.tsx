import type { ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { formatDuration } from '../../domain/format.ts';
import { spanText } from '../clipPlace.ts';
import { markTitles, marksOf } from '../marks.ts';

interface UseBarProps {
  readonly recording: ReportedRecording;
  readonly settings: ReportedSettings;
}

/** A clip from its start to its end: what can be used of it, and where something shows. Nothing for a still. */
export function UseBar({ recording, settings }: UseBarProps) {
  const duration = recording.facts.durationSeconds?.value ?? 0;
  const marks = marksOf(recording, settings);
  if (marks.length === 0 || duration === 0) return null;
  const percent = (seconds: number) => `${((100 * seconds) / duration).toFixed(2)}%`;
  const words = marks.map((mark) => `${markTitles[mark.kind]} ${spanText(recording, mark)}`).join('; ');
  return (
    <svg
      class="bar"
      width="100%"
      height="7"
      role="img"
      aria-label={`Of ${formatDuration(duration)}: ${words}`}
    >
      <rect class="base" width="100%" height="7" />
      {marks
        .toSorted((a, b) => Number(b.kind === 'usable') - Number(a.kind === 'usable'))
        .map(({ kind, startSeconds, endSeconds, spoils }) => (
          <rect
            class={spoils ? `${kind} spoils` : kind}
            x={percent(startSeconds)}
            width={percent(Math.max(endSeconds - startSeconds, duration / 100))}
            height={kind === 'usable' || spoils ? 7 : 3}
          />
        ))}
    </svg>
  );
}
