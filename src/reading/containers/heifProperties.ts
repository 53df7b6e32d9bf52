import type { RangeName, TransferName } from '../../domain/recording.ts';
import type { ByteSource } from './byteSource.ts';
import { fullBoxBody, isoBoxes, type IsoBox } from './isoBoxes.ts';
import type { PictureHeader } from './stillContents.ts';

const maxProperties = 1024;
const maxTableBytes = 1024 * 1024;

// ITU-T H.273 table 3; 6 and 14 are the same curve as 1.
const transferNames: Readonly<Record<number, TransferName>> = {
  1: 'bt709',
  6: 'bt709',
  14: 'bt709',
  8: 'linear',
  13: 'srgb',
  16: 'pq',
  18: 'hlg',
};

/** The properties of one image item (ISO/IEC 23008-12, 6.5; ISO/IEC 14496-12, 8.11.14). */
export function itemPicture(source: ByteSource, iprp: IsoBox, itemId: number): PictureHeader {
  const parts = isoBoxes(source, iprp.bodyStart, iprp.end, 64).boxes;
  const ipco = parts.find((box) => box.type === 'ipco');
  if (!ipco) return {};
  const properties = isoBoxes(source, ipco.bodyStart, ipco.end, maxProperties).boxes;
  let picture: PictureHeader = {};
  for (const ipma of parts.filter((box) => box.type === 'ipma')) {
    for (const index of associations(source, ipma, itemId)) {
      const property = properties[index - 1];
      if (property) picture = { ...picture, ...propertyValues(source, property) };
    }
  }
  return picture;
}

function associations(source: ByteSource, ipma: IsoBox, itemId: number): number[] {
  const table = fullBoxBody(source, ipma, maxTableBytes);
  if (!table || table.body.length < 4) return [];
  const bytes = table.body;
  const idBytes = table.version === 0 ? 2 : 4;
  const indexBytes = (table.flags & 1) === 0 ? 1 : 2;
  const entryCount = bytes.readUInt32BE(0);
  let at = 4;
  for (let entry = 0; entry < entryCount; entry += 1) {
    const id = bytes.readUIntBE(at, idBytes);
    const count = bytes.readUInt8(at + idBytes);
    at += idBytes + 1;
    if (id === itemId) return indices(bytes, at, count, indexBytes);
    at += count * indexBytes;
  }
  return [];
}

// The highest bit says "essential" and is no part of the index.
function indices(bytes: Buffer, start: number, count: number, indexBytes: number): number[] {
  const mask = indexBytes === 1 ? 0x7f : 0x7fff;
  return Array.from(
    { length: count },
    (_, each) => bytes.readUIntBE(start + each * indexBytes, indexBytes) & mask,
  );
}

function propertyValues(source: ByteSource, box: IsoBox): PictureHeader {
  const bytes = source.read(box.bodyStart, Math.min(box.end - box.bodyStart, 64));
  switch (box.type) {
    case 'ispe':
      return { width: bytes.readUInt32BE(4), height: bytes.readUInt32BE(8) };
    case 'clap':
      return cleanAperture(bytes);
    case 'pixi':
      return { bitDepth: bytes.readUInt8(5) };
    case 'irot':
      // Counted anticlockwise in quarter turns (ISO/IEC 23008-12, 6.5.10).
      return { rotationDegrees: (360 - (bytes.readUInt8(0) & 3) * 90) % 360 };
    case 'colr':
      return colour(bytes);
    default:
      return {};
  }
}

/** Width and height as rationals, in the place of those of the whole picture (ISO/IEC 14496-12, 12.1.4). */
function cleanAperture(bytes: Buffer): PictureHeader {
  const width = Math.round(bytes.readUInt32BE(0) / bytes.readUInt32BE(4));
  const height = Math.round(bytes.readUInt32BE(8) / bytes.readUInt32BE(12));
  return width > 0 && height > 0 && Number.isFinite(width + height) ? { width, height } : {};
}

function colour(bytes: Buffer): PictureHeader {
  if (bytes.toString('latin1', 0, 4) !== 'nclx') return { colour: 'profile' };
  const transfer = transferNames[bytes.readUInt16BE(6)];
  const range: RangeName = (bytes.readUInt8(10) & 0x80) === 0 ? 'narrow' : 'full';
  return transfer ? { transfer, range } : { range };
}
