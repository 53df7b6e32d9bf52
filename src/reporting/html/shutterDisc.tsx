import { formatAngle } from '../format.ts';

interface ShutterDiscProps {
  readonly angleDegrees: number;
  readonly targetDegrees: number;
  /** The angle is outside its tolerance. */
  readonly off: boolean;
}

const radius = 9;

/** A rotary shutter seen from the front: the sector is the part of a turn in which light came in, the tick its target. */
export function ShutterDisc({ angleDegrees, targetDegrees, off }: ShutterDiscProps) {
  const [tickX, tickY] = onCircle(targetDegrees, radius + 1.5);
  return (
    <svg
      class="disc"
      viewBox="-11 -11 22 22"
      role="img"
      aria-label={`${formatAngle(angleDegrees)} open, target ${formatAngle(targetDegrees)}`}
    >
      <circle class="ring" r={radius} />
      <path class={off ? 'open off' : 'open'} d={sector(angleDegrees)} />
      <line class="target" x1="0" y1="0" x2={tickX} y2={tickY} />
    </svg>
  );
}

function sector(angleDegrees: number): string {
  // A full turn has no sector of its own in SVG: start and end would be one point.
  const shown = Math.min(angleDegrees, 359.9);
  const [x, y] = onCircle(shown, radius);
  return `M0 0 V${-radius} A${radius} ${radius} 0 ${shown > 180 ? 1 : 0} 1 ${x} ${y} Z`;
}

/** Clockwise from the top. */
function onCircle(angleDegrees: number, distance: number): [x: string, y: string] {
  const radians = (angleDegrees * Math.PI) / 180;
  return [(Math.sin(radians) * distance).toFixed(2), (-Math.cos(radians) * distance).toFixed(2)];
}
