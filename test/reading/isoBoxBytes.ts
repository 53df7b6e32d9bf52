/** Builds ISO base media boxes byte by byte (ISO/IEC 14496-12), independently of the code under test. */

export function isoBox(type: string, ...parts: Uint8Array[]): Buffer {
  const body = Buffer.concat(parts);
  return Buffer.concat([uint(body.length + 8, 4), Buffer.from(type, 'latin1'), body]);
}

export function isoFullBox(type: string, version: number, flags: number, ...parts: Uint8Array[]): Buffer {
  return isoBox(type, uint(version, 1), uint(flags, 3), ...parts);
}

export function uint(value: number, size: number): Buffer {
  const bytes = Buffer.alloc(size);
  bytes.writeUIntBE(value, 0, size);
  return bytes;
}

export interface HeifItem {
  readonly type: 'Exif' | 'mime';
  readonly bytes: Buffer;
}

/** A file with one picture item of 400 x 300 at 10 bits, turned by one quarter, and metadata items behind it. */
export function heifFile(brand: string, items: readonly HeifItem[]): Buffer {
  const ftyp = isoBox('ftyp', Buffer.from(brand, 'latin1'), uint(0, 4), Buffer.from('mif1', 'latin1'));
  const entry = (id: number, type: string, rest = Buffer.alloc(0)) =>
    isoFullBox('infe', 2, 0, uint(id, 2), uint(0, 2), Buffer.from(`${type}\0`, 'latin1'), rest);
  const entries = items.map(({ type }, each) =>
    entry(each + 2, type, Buffer.from(type === 'mime' ? 'application/rdf+xml\0' : '', 'latin1')),
  );
  const iinf = isoFullBox('iinf', 0, 0, uint(items.length + 1, 2), entry(1, 'av01'), ...entries);
  const ipco = isoBox(
    'ipco',
    isoFullBox('ispe', 0, 0, uint(400, 4), uint(300, 4)),
    isoFullBox('pixi', 0, 0, uint(1, 1), uint(10, 1)),
    isoBox('irot', uint(1, 1)),
    isoBox('colr', Buffer.from('nclx'), uint(9, 2), uint(16, 2), uint(9, 2), uint(0x80, 1)),
  );
  const ipma = isoFullBox('ipma', 0, 0, uint(1, 4), uint(1, 2), uint(4, 1), Buffer.from([1, 0x82, 0x83, 4]));
  const rest = [iinf, isoFullBox('pitm', 0, 0, uint(1, 2)), isoBox('iprp', ipco, ipma)];
  const iloc = (at: number) => {
    let offset = at;
    const lines = items.map(({ bytes }, each) => {
      const line = Buffer.concat([
        uint(each + 2, 2),
        uint(0, 2),
        uint(1, 2),
        uint(offset, 4),
        uint(bytes.length, 4),
      ]);
      offset += bytes.length;
      return line;
    });
    return isoFullBox('iloc', 0, 0, uint(0x4400, 2), uint(items.length, 2), ...lines);
  };
  const meta = (at: number) => isoFullBox('meta', 0, 0, ...rest, iloc(at));
  const dataAt = ftyp.length + meta(0).length + 8;
  return Buffer.concat([ftyp, meta(dataAt), isoBox('mdat', ...items.map(({ bytes }) => bytes))]);
}
