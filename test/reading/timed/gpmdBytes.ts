import { uint } from '../isoBoxBytes.ts';

/** An item of telemetry by four-character keys, byte by byte, independently of the code under test. */
export function keyed(key: string, type: string, structureBytes: number, ...structures: Buffer[]): Buffer {
  const body = Buffer.concat(structures);
  const head = [Buffer.from(key), Buffer.from(type), uint(structureBytes, 1), uint(structures.length, 2)];
  return Buffer.concat([...head, body, Buffer.alloc((4 - (body.length % 4)) % 4)]);
}

export function keyedText(key: string, type: string, text: string): Buffer {
  return keyed(key, type, text.length, Buffer.from(text));
}

/** A container: its bytes are counted one by one. */
export function keyedNest(key: string, ...items: Buffer[]): Buffer {
  const body = Buffer.concat(items);
  return Buffer.concat([Buffer.from(key), Buffer.from([0, 1]), uint(body.length, 2), body]);
}
