import { max } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import type { ComponentChildren } from 'preact';
import type { ReportedSettings } from '../../document/auditDocument.ts';
import type { ReportedRecording } from '../../document/reportedRecording.ts';
import { shownFacts } from '../../domain/factWording.ts';
import { formatBlurAngle, formatBlurRange, formatBytes } from '../../domain/format.ts';
import type { BlurPoint, MeasuredShutter } from '../../domain/shutter.ts';
import { derivations } from '../derivations.ts';

/** Every fact with its source, what was refused, and how each number came about; folded away until asked for. */
export function RecordingFacts({
  recording,
  settings,
}: {
  recording: ReportedRecording;
  settings: ReportedSettings;
}) {
  const { facts, refusals, sizeBytes, sidecars } = recording;
  return (
    <details>
      <summary>What was read and worked out</summary>
      <Part title="Worked out">
        {derivations(recording, settings).map(([label, sum]) => (
          <tr>
            <th scope="row">{label}</th>
            <td colspan={2}>{sum}</td>
          </tr>
        ))}
      </Part>
      {recording.shutter?.blur && <BlurPlot blur={recording.shutter.blur} />}
      <Part title="Read">
        {shownFacts(facts).map(({ label, value, source, others }) => (
          <tr>
            <th scope="row">{label}</th>
            <td>{value}</td>
            <td class="note">
              {source}
              {others.map((other) => `; not used: ${other.value} from ${other.source}`)}
            </td>
          </tr>
        ))}
        <tr>
          <th scope="row">file</th>
          <td>{formatBytes(sizeBytes)}</td>
          <td class="note">{sidecars.length === 0 ? 'no sidecar' : `with ${sidecars.join(', ')}`}</td>
        </tr>
      </Part>
      {refusals.length > 0 && (
        <Part title="Found and not believed">
          {refusals.map(({ what, raw, source, reason }) => (
            <tr>
              <th scope="row">{what}</th>
              <td>
                “{raw}”: {reason}
              </td>
              <td class="note">{source}</td>
            </tr>
          ))}
        </Part>
      )}
    </details>
  );
}

function Part({ title, children }: { readonly title: string; readonly children: ComponentChildren }) {
  return (
    <>
      <h4>{title}</h4>
      <table class="facts">
        <tbody>{children}</tbody>
      </table>
    </>
  );
}

const width = 560;
const height = 150;
const edge = { left: 34, right: 8, top: 8, bottom: 30 } as const;

/** What a measured shutter rests on: how the motion wiped out detail, point by point, and the curve of the angle. */
function BlurPlot({ blur }: { readonly blur: MeasuredShutter }) {
  const { curve = [], angleDegrees, interval } = blur;
  if (curve.length < 2 || interval === undefined) return null;
  const x = scaleLinear(
    [0, max(curve, ({ cyclesPerFrame }) => cyclesPerFrame) ?? 1],
    [edge.left, width - edge.right],
  );
  const y = scaleLinear([0, 1], [height - edge.bottom, edge.top]).clamp(true);
  const fitted = line<BlurPoint>(
    (point) => x(point.cyclesPerFrame),
    (point) => y(point.fitted),
  );
  const answer =
    angleDegrees === undefined
      ? `at most ${formatBlurAngle(interval.highDegrees)}`
      : `${formatBlurAngle(angleDegrees)} (95%: ${formatBlurRange(interval)})`;
  return (
    <figure class="blur">
      <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`Motion blur over detail: ${answer}`}>
        {y.ticks(2).map((tick) => (
          <g>
            <line class="rule" x1={edge.left} x2={width - edge.right} y1={y(tick)} y2={y(tick)} />
            <text x={edge.left - 6} y={y(tick) + 4} text-anchor="end">
              {`${tick * 100}%`}
            </text>
          </g>
        ))}
        {x.ticks(6).map((tick) => (
          <text x={x(tick)} y={height - edge.bottom + 16} text-anchor="middle">
            {tick}
          </text>
        ))}
        {curve.map((point) => (
          <circle cx={x(point.cyclesPerFrame)} cy={y(point.attenuation)} r={2.2} />
        ))}
        <path d={fitted([...curve]) ?? ''} />
      </svg>
      <figcaption>
        How much detail the motion left (dots), finer detail to the right in cycles per frame, and the curve
        of the angle told: {answer}.
      </figcaption>
    </figure>
  );
}
