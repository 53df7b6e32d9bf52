import {
  elevationAt,
  isLand,
  put,
  scaled,
  SCENE_HEIGHT,
  SCENE_WIDTH,
  type Colour,
  type RowSpan,
  type Scene,
} from './land.ts';
import { lattice, noise, randomStream } from './random.ts';

const SHADOW: Colour = [0.024, 0.03, 0.028];
const ROOFS: readonly Colour[] = [
  [0.36, 0.13, 0.09],
  [0.1, 0.11, 0.13],
  [0.44, 0.44, 0.43],
  [0.27, 0.2, 0.15],
];

/** Course of a road: how far down it lies at `along`. */
interface Road {
  readonly offset: number;
  readonly lean: number;
  readonly seed: number;
  readonly down: boolean;
}

const ROADS: readonly Road[] = [
  { offset: 620, lean: 0.16, seed: 51, down: false },
  { offset: 1750, lean: -0.12, seed: 52, down: false },
  { offset: 1150, lean: 0.22, seed: 53, down: true },
  { offset: 3050, lean: -0.2, seed: 54, down: true },
];

function course(road: Road, along: number): number {
  return road.offset + road.lean * along + 260 * noise(along / 700, 0.5, road.seed);
}

export function layRoads(scene: Scene, span: RowSpan): void {
  for (const road of ROADS) {
    const length = road.down ? SCENE_HEIGHT : SCENE_WIDTH;
    for (let along = 0; along < length; along++) {
      const middle = Math.round(course(road, along));
      for (let off = -15; off <= 15; off++) {
        const x = road.down ? middle + off : along;
        const y = road.down ? along : middle + off;
        if (inside(span, x, y) && isLand(x, y)) put(scene, x, y, pavement(along, off, x, y));
      }
    }
  }
}

function pavement(along: number, off: number, x: number, y: number): Colour {
  const wear = 0.75 + 0.5 * noise(x / 3, y / 3, 55);
  const dashed = Math.abs(off) < 2 && lattice(Math.floor(along / 23), 3, 56) > 0.45;
  if (dashed) return scaled([0.42, 0.42, 0.4], wear);
  return scaled(Math.abs(off) > 12 ? [0.3, 0.28, 0.24] : [0.15, 0.15, 0.155], wear);
}

/** Woods and single trees, lit from the upper left, with their shadows. */
export function buildTrees(scene: Scene, span: RowSpan): void {
  const random = randomStream(61);
  for (let count = 0; count < 26_000; count++) {
    const x = random() * SCENE_WIDTH;
    const y = random() * SCENE_HEIGHT;
    const radius = 5 + 13 * random() * random();
    const tint = 0.7 + 0.6 * random();
    const wooded = noise(x / 380, y / 380, 62) > 0.69 || random() < 0.012;
    if (!wooded || y + 3 * radius < span.from || y - 2 * radius > span.to || !isLand(x, y)) continue;
    crown(scene, span, { x: x + radius * 0.7, y: y + radius * 0.5, radius: radius * 0.95 }, undefined);
    crown(scene, span, { x, y, radius }, tint);
  }
}

interface Disc {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
}

/** A tree's crown, or its shadow where no tint is given. */
function crown(scene: Scene, span: RowSpan, { x, y, radius }: Disc, tint: number | undefined): void {
  for (let row = Math.floor(y - radius); row <= y + radius; row++) {
    for (let column = Math.floor(x - radius); column <= x + radius; column++) {
      const across = (column - x) / radius;
      const down = (row - y) / radius;
      const ragged = 0.75 + 0.5 * lattice(column, row, 63);
      if (!inside(span, column, row) || (across * across + down * down) * ragged > 0.85) continue;
      if (tint === undefined) put(scene, column, row, SHADOW);
      else
        put(
          scene,
          column,
          row,
          scaled([0.085, 0.14, 0.05], tint * (1 - 0.6 * (across + down)) * (1.5 - ragged * 0.6)),
        );
    }
  }
}

/** Farmsteads strung along the roads: pitched roofs with one lit and one shaded slope. */
export function buildRoofs(scene: Scene, span: RowSpan): void {
  const random = randomStream(71);
  for (let count = 0; count < 420; count++) {
    const road = ROADS[count % ROADS.length];
    if (road === undefined) continue;
    const along = random() * (road.down ? SCENE_HEIGHT : SCENE_WIDTH);
    const aside = course(road, along) + (random() < 0.5 ? -1 : 1) * (50 + 150 * random());
    const x = road.down ? aside : along;
    const y = road.down ? along : aside;
    const roof = { length: 18 + 34 * random(), depth: 12 + 16 * random(), turn: Math.PI * random() };
    const colour = ROOFS[Math.floor(random() * ROOFS.length)] ?? SHADOW;
    if (noise(x / 420, y / 420, 72) < 0.45 || y + 90 < span.from || y - 90 > span.to || !isLand(x, y))
      continue;
    oblong(scene, span, { ...roof, x: x + 10, y: y + 7 }, () => SHADOW);
    oblong(scene, span, { ...roof, x, y }, (across, grain) =>
      scaled(colour, (across < 0 ? 1.15 : 0.65) * (0.85 + 0.3 * grain)),
    );
  }
}

/** Small craft on the sea, so that open water has hard edges too. */
export function markBoats(scene: Scene, span: RowSpan): void {
  const random = randomStream(81);
  for (let count = 0; count < 260; count++) {
    const x = random() * SCENE_WIDTH;
    const y = random() * SCENE_HEIGHT;
    const boat = { x, y, length: 7 + 12 * random(), depth: 3 + 4 * random(), turn: Math.PI * random() };
    if (elevationAt(x, y) > -0.03) continue;
    oblong(scene, span, { ...boat, x: x + 4, y: y + 3 }, () => SHADOW);
    oblong(scene, span, boat, (across) => (across < 0 ? [0.45, 0.44, 0.42] : [0.3, 0.28, 0.27]));
  }
}

interface Oblong {
  readonly x: number;
  readonly y: number;
  readonly length: number;
  readonly depth: number;
  readonly turn: number;
}

function oblong(
  scene: Scene,
  span: RowSpan,
  shape: Oblong,
  paint: (across: number, grain: number) => Colour,
): void {
  const reach = Math.ceil(Math.hypot(shape.length, shape.depth));
  const cosine = Math.cos(shape.turn);
  const sine = Math.sin(shape.turn);
  for (let row = Math.floor(shape.y - reach); row <= shape.y + reach; row++) {
    for (let column = Math.floor(shape.x - reach); column <= shape.x + reach; column++) {
      const along = (column - shape.x) * cosine + (row - shape.y) * sine;
      const across = (row - shape.y) * cosine - (column - shape.x) * sine;
      if (Math.abs(along) > shape.length || Math.abs(across) > shape.depth) continue;
      if (inside(span, column, row)) put(scene, column, row, paint(across, lattice(column, row, 73)));
    }
  }
}

function inside(span: RowSpan, x: number, y: number): boolean {
  return y >= span.from && y < span.to && x >= 0 && x < SCENE_WIDTH;
}
