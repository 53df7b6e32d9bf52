import { noise } from './random.ts';
import { elevationAt, put, scaled, type Colour, type RowSpan, type Scene } from './land.ts';
import { parcelAt, plantParcels, type ParcelTree } from './parcels.ts';
import { buildRoofs, buildTrees, layRoads, markBoats } from './sceneObjects.ts';

/** Below this the light is bent towards BRIGHTEST, so that ordinary ground stays clear of the nominal peak. */
const KNEE = 0.28;
const BRIGHTEST = 0.43;
const DARKEST = 0.016;

/** Paints the rows of `span`: ground first, then everything that stands on it. */
export function paintScene(scene: Scene, span: RowSpan): void {
  const parcels = plantParcels();
  for (let y = span.from; y < span.to; y++) {
    for (let x = 0; x < scene.width; x++) put(scene, x, y, groundAt(parcels, x, y));
  }
  layRoads(scene, span);
  buildTrees(scene, span);
  buildRoofs(scene, span);
  markBoats(scene, span);
  limitLight(scene, span);
}

function groundAt(parcels: ParcelTree, x: number, y: number): Colour {
  const height = elevationAt(x, y);
  const grain =
    0.5 * noise(x / 2.3, y / 2.3, 21) + 0.3 * noise(x / 5.1, y / 4.7, 22) + 0.2 * noise(x / 13, y / 13, 23);
  if (height < 0) return sea(height, x, y, grain);
  if (height < 0.018) return scaled([0.4, 0.35, 0.25], 0.55 + 0.85 * grain);
  return parcelAt(parcels, x, y, grain);
}

function sea(height: number, x: number, y: number, grain: number): Colour {
  const swell = noise(x / 31 + y / 90, y / 11 - x / 70, 24);
  const foam = height > -0.012 && swell + grain > 1.05 ? 0.3 : 0;
  const shallow = Math.max(0, 1 + height / 0.09);
  const strength = 0.35 + 0.7 * grain + 0.5 * swell;
  return [
    foam + strength * (0.05 + 0.07 * shallow),
    foam + strength * (0.1 + 0.12 * shallow),
    foam + strength * (0.14 + 0.06 * shallow),
  ];
}

function limitLight(scene: Scene, span: RowSpan): void {
  const range = BRIGHTEST - KNEE;
  for (let at = span.from * scene.width * 3; at < span.to * scene.width * 3; at++) {
    const light = scene.light[at] ?? 0;
    const bent = light > KNEE ? KNEE + range * (1 - Math.exp((KNEE - light) / range)) : light;
    scene.light[at] = Math.max(DARKEST, bent);
  }
}
