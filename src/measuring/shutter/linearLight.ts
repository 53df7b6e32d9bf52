import { decodeBt709, decodeHlg, encodePq, sceneLightOfPq, decodeSrgb } from '../../domain/transfer.ts';
import type { TransferName } from '../../domain/recording.ts';
import type { LumaPlane } from './framePair.ts';

/** 1 in units of the others, as shown at 1000 cd/m². Above it a lamp would outvote the landscape. */
const brightestOfPq = sceneLightOfPq(encodePq(1000));

// Motion blur adds light of the scene, not codes: fitted to codes, contrasty scenes read up to 0.18 stop long.
const decoders: Readonly<Record<TransferName, (signal: number) => number>> = {
  bt709: decodeBt709,
  srgb: decodeSrgb,
  hlg: decodeHlg,
  pq: (signal) => Math.min(1, sceneLightOfPq(signal) / brightestOfPq),
  linear: (signal) => signal,
};

/** A picture as it was coded, with the light that each code stands for; 100 is the nominal peak. */
export interface LightOfCodes extends Pick<LumaPlane, 'width' | 'height' | 'codes'> {
  readonly valueOfCode: Float32Array;
}

/** Luma in units of light, or as coded where the transfer is not known. Nothing is copied. */
export function linearLight(plane: LumaPlane): LightOfCodes {
  const { width, height, codes } = plane;
  return { width, height, codes, valueOfCode: lightOfCodes(plane) };
}

function lightOfCodes({ bitDepth, range, transfer }: LumaPlane): Float32Array {
  const decode = transfer === undefined ? (signal: number) => signal : decoders[transfer];
  // ITU-R BT.2100-2, table 9.
  const scale = 2 ** (bitDepth - 8);
  const black = range === 'narrow' ? 16 * scale : 0;
  const span = range === 'narrow' ? 219 * scale : 2 ** bitDepth - 1;
  return Float32Array.from(
    { length: 2 ** bitDepth },
    (_, code) => 100 * decode(Math.max(0, (code - black) / span)),
  );
}
