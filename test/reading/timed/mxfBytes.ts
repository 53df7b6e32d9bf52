import { uint } from '../isoBoxBytes.ts';

/** Builds key-length-value triplets byte by byte (SMPTE ST 336), independently of the code under test. */
function klv(key: string, value: Buffer): Buffer {
  return Buffer.concat([Buffer.from(key, 'hex'), uint(0x83, 1), uint(value.length, 3), value]);
}

export function item(tag: number, value: Buffer): Buffer {
  return Buffer.concat([uint(tag, 2), uint(value.length, 2), value]);
}

export function lensSet(...items: Buffer[]): Buffer {
  return klv('060e2b34025301010c02010101010000', Buffer.concat(items));
}

export function cameraSet(...items: Buffer[]): Buffer {
  return klv('060e2b34025301010c02010102010000', Buffer.concat(items));
}

export const picture = klv('060e2b34010201010d01030115010500', Buffer.alloc(40, 0x55));

export function mxfFile(...parts: Buffer[]): Buffer {
  return Buffer.concat([klv('060e2b34020501010d01020101020400', Buffer.alloc(88)), ...parts]);
}
