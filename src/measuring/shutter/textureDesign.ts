import { sectorCount, type CurvePoint } from './pooling.ts';

/**
 * How a scene's own differences between directions are told from blur. The two ways fail differently:
 * `isotropic`, one slope over cos², is tight, but detail that runs one way pulls it; `sectors`, a gain and a slope for
 * each fifth of the angles, rests on the zeros alone and survives walls and trunks.
 */
export type TextureModel = 'isotropic' | 'sectors';

/** Which unknowns each point depends on, and how strongly: `perPoint` entries for each. */
export interface TextureDesign {
  readonly unknowns: number;
  /** 1 / variance of what is believed of each unknown beforehand. */
  readonly precision: Float64Array;
  readonly perPoint: number;
  readonly unknown: Uint8Array;
  readonly factor: Float64Array;
}

const overallSpread = 0.15;
const slopeSpread = 0.35;
const sectorGainSpread = 0.5;

export function textureDesign(points: readonly CurvePoint[], model: TextureModel): TextureDesign {
  return model === 'isotropic' ? isotropic(points) : sectors(points);
}

function isotropic(points: readonly CurvePoint[]): TextureDesign {
  return {
    unknowns: 2,
    precision: Float64Array.of(overallSpread ** -2, slopeSpread ** -2),
    perPoint: 2,
    unknown: Uint8Array.from(points.flatMap(() => [0, 1])),
    factor: Float64Array.from(points.flatMap(({ cosSquared }) => [1, cosSquared])),
  };
}

function sectors(points: readonly CurvePoint[]): TextureDesign {
  const middle = Array.from({ length: sectorCount }, (_, sector) => {
    const logs = points
      .filter((point) => point.sector === sector)
      .map((point) => Math.log(point.cyclesPerFrame));
    return logs.reduce((sum, value) => sum + value, 0) / Math.max(1, logs.length);
  });
  return {
    unknowns: 1 + 2 * sectorCount,
    precision: Float64Array.of(
      overallSpread ** -2,
      ...Array<number>(sectorCount).fill(sectorGainSpread ** -2),
      ...Array<number>(sectorCount).fill(slopeSpread ** -2),
    ),
    perPoint: 3,
    unknown: Uint8Array.from(points.flatMap(({ sector }) => [0, 1 + sector, 1 + sectorCount + sector])),
    factor: Float64Array.from(
      points.flatMap(({ sector, cyclesPerFrame }) => [1, 1, Math.log(cyclesPerFrame) - middle[sector]!]),
    ),
  };
}
