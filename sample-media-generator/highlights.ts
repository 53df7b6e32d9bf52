import { noise } from './random.ts';
import type { Highlight } from './plan.ts';

/** Added inside: far above the nominal peak, so that no encoder can bring it back. */
const BURNT = 3;
/** Width in pixels over which it falls to ordinary light: steep, so that the area is beyond doubt. */
const EDGE_PIXELS = 1.5;

interface Frame {
  readonly width: number;
  readonly height: number;
}

/** Light that a highlight adds to each pixel, 1 = nominal peak. It is fixed in the picture, as glare and the sun are. */
export function highlightLight(highlight: Highlight, frame: Frame): Float32Array {
  const added = new Float32Array(frame.width * frame.height);
  const depth = depthInside(highlight, frame);
  const glow = highlight.shape === 'disc' ? { strength: 0.2, reach: 70 } : { strength: 0.06, reach: 25 };
  for (let y = 0; y < frame.height; y++) {
    for (let x = 0; x < frame.width; x++) {
      const inside = depth(x + 0.5, y + 0.5);
      const burnt = BURNT * Math.min(1, Math.max(0, inside / EDGE_PIXELS + 0.5));
      added[y * frame.width + x] = burnt + glow.strength * Math.exp(Math.min(0, inside) / glow.reach);
    }
  }
  return added;
}

/** How far inside the burnt region a place lies, in pixels; negative outside. */
function depthInside({ shape, region, fraction }: Highlight, frame: Frame): (x: number, y: number) => number {
  const area = fraction * frame.width * frame.height;
  if (shape === 'disc') {
    const radius = Math.sqrt(area / Math.PI);
    const centre = { x: frame.width * (region === 'centre' ? 0.5 : 0.76), y: frame.height * 0.3 };
    return (x, y) => radius - Math.hypot(x - centre.x, y - centre.y);
  }
  if (region === 'top') return (x, y) => (area / frame.width) * ragged(x / 120) - y;
  if (region === 'left') return (x, y) => (area / frame.height) * ragged(y / 90) - x;
  const radius = Math.sqrt((4 * area) / Math.PI);
  return (x, y) => {
    const across = frame.width - x;
    return radius * Math.sqrt(ragged(Math.atan2(y, across) * 3)) - Math.hypot(across, y);
  };
}

/** About 1 on average. */
function ragged(along: number): number {
  return 0.7 + 0.45 * noise(along, 0.5, 91) + 0.15 * noise(along * 5, 0.5, 92);
}
