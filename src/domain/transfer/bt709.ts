// Recommendation ITU-R BT.709-6 (2015), item 1.2. BT.2020-2 (table 4) uses the same curve for 10 bits.
const slope = 4.5;
const linearEnd = 0.018;
const gain = 1.099;
const offset = 0.099;
const power = 0.45;

/**
 * Signal of a camera that follows BT.709: scene light [0, 1] (1 = nominal peak) to signal [0, 1].
 * Source: ITU-R BT.709-6, item 1.2.
 * @example encodeBt709(0.18) // 0.4090
 */
export function encodeBt709(sceneLight: number): number {
  return sceneLight < linearEnd ? slope * sceneLight : gain * sceneLight ** power - offset;
}

/**
 * Scene light [0, 1] of a BT.709 signal [0, 1]; values outside are continued along the curve.
 * Source: ITU-R BT.709-6, item 1.2, inverted.
 * @example decodeBt709(0.0675) // 0.015
 */
export function decodeBt709(signal: number): number {
  return signal < slope * linearEnd ? signal / slope : ((signal + offset) / gain) ** (1 / power);
}
