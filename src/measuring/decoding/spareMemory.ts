// Pictures are the largest things in memory, and the collector lets those of several past clips add up before it frees
// any of them. So a clip hands its memory on to the next.

/** Memory of one size or another that is handed back is kept up to this. */
const mostSpareBytes = 96_000_000;
let spare: ArrayBuffer[] = [];

/** Memory of exactly so many bytes, with whatever is in it. */
export function borrowMemory(byteLength: number): ArrayBuffer {
  const at = spare.findIndex((one) => one.byteLength === byteLength);
  return at < 0 ? new ArrayBuffer(byteLength) : spare.splice(at, 1)[0]!;
}

/** Hands memory back. Nobody may use it afterwards. */
export function returnMemory(memory: ArrayBuffer): void {
  spare.push(memory);
  const held = (): number => spare.reduce((sum, { byteLength }) => sum + byteLength, 0);
  while (held() > mostSpareBytes) spare = spare.slice(1);
}

/** Lets go of all that is spare, once there is no next clip. */
export function dropSpareMemory(): void {
  spare = [];
}
