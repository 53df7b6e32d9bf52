import { noise, randomStream } from './random.ts';
import { scaled, type Colour } from './land.ts';

/** A field: an oblong in a slightly turned and bent grid, with its crop and the direction it was worked in. */
interface Parcel {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly seed: number;
  readonly crop: Colour;
  readonly furrowX: number;
  readonly furrowY: number;
  readonly furrowDepth: number;
}

interface Split {
  readonly across: boolean;
  readonly at: number;
  readonly low: ParcelTree;
  readonly high: ParcelTree;
}

export type ParcelTree = Parcel | Split;

interface Oblong {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

const CROPS: readonly Colour[] = [
  [0.1, 0.19, 0.06],
  [0.15, 0.25, 0.08],
  [0.34, 0.3, 0.14],
  [0.22, 0.16, 0.11],
  [0.25, 0.29, 0.13],
  [0.37, 0.32, 0.21],
  [0.17, 0.13, 0.1],
  [0.2, 0.27, 0.12],
];
const HEDGE: Colour = [0.045, 0.075, 0.03];
const TRACK: Colour = [0.33, 0.29, 0.22];
const TURN = 0.31;

export function plantParcels(): ParcelTree {
  return divide({ left: -2500, top: -2500, right: 7000, bottom: 6000 }, randomStream(301));
}

function divide(oblong: Oblong, random: () => number): ParcelTree {
  const width = oblong.right - oblong.left;
  const height = oblong.bottom - oblong.top;
  if (width * height < 90_000 + 190_000 * random()) return plant(oblong, random);
  const across = width > height * (0.8 + 0.4 * random());
  const share = 0.35 + 0.3 * random();
  const at = across ? oblong.left + width * share : oblong.top + height * share;
  const low = divide(across ? { ...oblong, right: at } : { ...oblong, bottom: at }, random);
  const high = divide(across ? { ...oblong, left: at } : { ...oblong, top: at }, random);
  return { across, at, low, high };
}

function plant(oblong: Oblong, random: () => number): Parcel {
  const direction = (random() < 0.5 ? 0 : Math.PI / 2) + 0.2 * (random() - 0.5);
  const spacing = 5 + 9 * random();
  return {
    ...oblong,
    seed: Math.floor(random() * 1e6),
    crop: CROPS[Math.floor(random() * CROPS.length)] ?? HEDGE,
    furrowX: Math.cos(direction) / spacing,
    furrowY: Math.sin(direction) / spacing,
    furrowDepth: 0.15 + 0.5 * random(),
  };
}

/** Light that the fields send up at a place. `grain` in [0, 1) roughens it. */
export function parcelAt(tree: ParcelTree, x: number, y: number, grain: number): Colour {
  const bendX = 60 * noise(x / 420, y / 420, 31);
  const bendY = 60 * noise(x / 420, y / 420, 32);
  const u = x * Math.cos(TURN) + y * Math.sin(TURN) + bendX;
  const v = y * Math.cos(TURN) - x * Math.sin(TURN) + bendY;
  const parcel = find(tree, u, v);
  const edge = Math.min(u - parcel.left, parcel.right - u, v - parcel.top, parcel.bottom - v);
  if (edge < 7) return scaled(parcel.seed % 3 === 0 ? TRACK : HEDGE, 0.5 + grain);
  // Furrows are noise along one axis, not a wave: a periodic pattern would make motion ambiguous.
  const furrow = noise(u * parcel.furrowX + v * parcel.furrowY, 0.5 + 0.004 * (u + v), parcel.seed);
  const patch = noise(x / 90, y / 75, parcel.seed + 1);
  return scaled(
    parcel.crop,
    (0.45 + 0.7 * grain) * (1 + parcel.furrowDepth * (furrow - 0.5)) * (0.8 + 0.5 * patch),
  );
}

function find(tree: ParcelTree, u: number, v: number): Parcel {
  let node = tree;
  while ('across' in node) node = (node.across ? u : v) < node.at ? node.low : node.high;
  return node;
}
