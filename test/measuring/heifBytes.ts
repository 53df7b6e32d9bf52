import { readFile } from 'node:fs/promises';
import { isoBox, isoFullBox, uint } from '../reading/isoBoxBytes.ts';
import { encodeClip, type RawFrame, type RawShape } from './encodeClip.ts';

/** A HEIF picture of one frame (ISO/IEC 23008-12): an item of type hvc1 with its decoder configuration and its size. */
export async function heicFile(
  shape: RawShape,
  frame: RawFrame,
  { quarterTurns = 0, sizeStated = shape }: HeicOptions = {},
): Promise<Buffer> {
  const codec = ['-c:v', 'libx265', '-x265-params', 'lossless=1:log-level=error', '-tag:v', 'hvc1'];
  const movie = await readFile(await encodeClip(shape, [frame], { range: 'pc', codec, extension: 'mp4' }));
  const configuration = boxIn(movie, 'hvcC');
  const data = boxIn(movie, 'mdat').subarray(8);
  const properties = [
    configuration,
    isoFullBox('ispe', 0, 0, uint(sizeStated.width, 4), uint(sizeStated.height, 4)),
    isoBox('colr', Buffer.from('nclx'), uint(1, 2), uint(13, 2), uint(6, 2), uint(0x80, 1)),
    ...(quarterTurns === 0 ? [] : [isoBox('irot', uint(quarterTurns, 1))]),
  ];
  const entry = isoFullBox('infe', 2, 0, uint(1, 2), uint(0, 2), Buffer.from('hvc1\0', 'latin1'));
  const association = properties.map((_, at) => uint(0x80 | (at + 1), 1));
  const meta = (at: number) =>
    isoFullBox(
      'meta',
      0,
      0,
      isoFullBox('hdlr', 0, 0, uint(0, 4), Buffer.from('pict'), Buffer.alloc(13)),
      isoFullBox('pitm', 0, 0, uint(1, 2)),
      isoFullBox(
        'iloc',
        0,
        0,
        uint(0x4400, 2),
        ...[1, 1, 0, 1].map((part) => uint(part, 2)),
        uint(at, 4),
        uint(data.length, 4),
      ),
      isoFullBox('iinf', 0, 0, uint(1, 2), entry),
      isoBox(
        'iprp',
        isoBox('ipco', ...properties),
        isoFullBox('ipma', 0, 0, uint(1, 4), uint(1, 2), uint(properties.length, 1), ...association),
      ),
    );
  const brands = isoBox('ftyp', Buffer.from('heic\0\0\0\0mif1heic', 'latin1'));
  const dataAt = brands.length + meta(0).length + 8;
  return Buffer.concat([brands, meta(dataAt), isoBox('mdat', data)]);
}

interface HeicOptions {
  /** Anticlockwise. */
  readonly quarterTurns?: number;
  readonly sizeStated?: { readonly width: number; readonly height: number };
}

function boxIn(file: Buffer, type: string): Buffer {
  const start = file.indexOf(type, 0, 'latin1') - 4;
  return file.subarray(start, start + file.readUInt32BE(start));
}
