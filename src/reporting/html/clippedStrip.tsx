import type { ReportedRecording } from '../../domain/report.ts';
import { formatDuration, formatPercent, formatSpan } from '../format.ts';

const spansSaid = 3;

/** The length of a clip with the stretches in which highlights are clipped. */
export function ClippedStrip({ recording }: { readonly recording: ReportedRecording }) {
  const duration = recording.facts.durationSeconds?.value;
  const spans = recording.picture?.clippedSpans ?? [];
  if (duration === undefined || duration <= 0 || spans.length === 0) return null;
  const place = (seconds: number) => Math.min(Math.max(seconds / duration, 0), 1) * 1000;
  const said = spans
    .slice(0, spansSaid)
    .map((span) => `${formatSpan(span)} (${formatPercent(span.maxFraction)})`);
  const more = spans.length > spansSaid ? ` and ${spans.length - spansSaid} more` : '';
  return (
    <figure class="strip">
      <svg viewBox="0 0 1000 10" preserveAspectRatio="none" aria-hidden="true">
        <rect class="whole" y="4" width="1000" height="2" />
        {spans.map(({ startSeconds, endSeconds }) => (
          <rect
            class="span"
            x={place(startSeconds).toFixed(1)}
            width={Math.max(place(endSeconds) - place(startSeconds), 3).toFixed(1)}
            height="10"
          />
        ))}
      </svg>
      <figcaption>
        {`Clipped from ${said.join(', ')}${more}, in a clip of ${formatDuration(duration)}`}
      </figcaption>
    </figure>
  );
}
