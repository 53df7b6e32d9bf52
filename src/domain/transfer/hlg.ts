// Recommendation ITU-R BT.2100-2 (2018), table 5, "HLG Reference OETF". b and c follow from a there.
const a = 0.17883277;
const b = 1 - 4 * a;
const c = 0.5 - a * Math.log(4 * a);
const squareRootEnd = 1 / 12;

/**
 * HLG signal [0, 1] of scene light [0, 1] (1 = nominal peak). Source: ITU-R BT.2100-2, table 5.
 * @example encodeHlg(1 / 12) // 0.5
 */
export function encodeHlg(sceneLight: number): number {
  if (sceneLight <= 0) return 0;
  return sceneLight <= squareRootEnd ? Math.sqrt(3 * sceneLight) : a * Math.log(12 * sceneLight - b) + c;
}

/**
 * Scene light [0, 1] of an HLG signal [0, 1]; signals below black give 0. Source: ITU-R BT.2100-2, table 5.
 * @example decodeHlg(0.5) // 0.08333
 */
export function decodeHlg(signal: number): number {
  if (signal <= 0) return 0;
  return signal <= 0.5 ? signal ** 2 / 3 : (Math.exp((signal - c) / a) + b) / 12;
}
