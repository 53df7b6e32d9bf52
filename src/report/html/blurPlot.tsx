import { max } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import type { BlurPoint, MeasuredShutter } from '../../domain/shutter.ts';
import { formatBlurAngle, formatBlurRange } from '../../domain/format.ts';

const width = 560;
const height = 150;
const edge = { left: 34, right: 8, top: 8, bottom: 30 } as const;

/** What a measured shutter rests on: how the motion wiped out detail, point by point, and the curve of the angle. */
export function BlurPlot({ blur }: { readonly blur: MeasuredShutter }) {
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
  const said =
    angleDegrees === undefined
      ? `at most ${formatBlurAngle(interval.highDegrees)}`
      : `${formatBlurAngle(angleDegrees)} (95%: ${formatBlurRange(interval)})`;
  return (
    <figure class="blur">
      <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`Motion blur over detail: ${said}`}>
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
        of the angle told: {said}.
      </figcaption>
    </figure>
  );
}
