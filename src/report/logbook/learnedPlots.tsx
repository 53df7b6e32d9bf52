import { formatStops } from '../../domain/format.ts';

const barUnits = 100;

/** How many of how many were right, as words and as a bar. */
export function ShareBar({ of, right }: { readonly of: number; readonly right: number }) {
  if (of === 0) return <>·</>;
  const share = Math.round((barUnits * right) / of);
  const said = `${share}% of ${of}`;
  return (
    <>
      {said}
      <svg class="bar" viewBox={`0 0 ${barUnits} 6`} preserveAspectRatio="none" role="img" aria-label={said}>
        <line class="axis" x1="0" x2={barUnits} y1="3" y2="3" />
        <rect class="share" x="0" y="1" width={share} height="4" />
      </svg>
    </>
  );
}

interface RangePlotProps {
  readonly at: number;
  readonly low: number;
  readonly high: number;
  /** Stops from the middle to either end. */
  readonly reach: number;
  readonly expected?: number;
}

/** A value and its range on a line of stops. */
export function RangePlot({ at, low, high, reach, expected = 0 }: RangePlotProps) {
  const x = (stops: number) => 100 + (100 * Math.min(reach, Math.max(-reach, stops))) / reach;
  const said = `${formatStops(at)} stops, from ${formatStops(low)} to ${formatStops(high)}`;
  return (
    <svg viewBox="0 0 200 20" role="img" aria-label={said}>
      <line class="axis" x1="0" x2="200" y1="10" y2="10" />
      <line class="expected" x1={x(expected)} x2={x(expected)} y1="2" y2="18" />
      <line class="range" x1={x(low)} x2={x(high)} y1="10" y2="10" />
      <circle cx={x(at)} cy="10" r="3.5" />
    </svg>
  );
}
