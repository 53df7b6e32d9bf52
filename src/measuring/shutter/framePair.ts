import type { RangeName, TransferName } from '../../domain/recording.ts';

/** The luma of one picture as it was coded. */
export interface LumaPlane {
  readonly width: number;
  readonly height: number;
  /** Bits of a code: 8 to 16. */
  readonly bitDepth: number;
  readonly range: RangeName;
  /** Absent where the curve is not known; the codes are then analysed as they are. */
  readonly transfer?: TransferName;
  readonly atSeconds: number;
  readonly codes: Uint8Array | Uint16Array;
}

/** Two consecutive pictures of one clip. */
export interface FramePair {
  readonly first: LumaPlane;
  readonly second: LumaPlane;
}
