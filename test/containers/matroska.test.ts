import { expect, test } from 'vitest';
import { bytesSource } from '../../src/containers/byteSource.ts';
import { matroskaContents } from '../../src/containers/matroska.ts';
import { uint } from '../reading/isoBoxBytes.ts';

// RFC 9559: identifiers as they stand there, sizes of four bytes with their marker bit.
const element = (id: number, idBytes: number, ...parts: Buffer[]): Buffer => {
  const body = Buffer.concat(parts);
  return Buffer.concat([uint(id, idBytes), uint(0x1000_0000 + body.length, 4), body]);
};
const attachment = (name: string, mediaType: string, data: string): Buffer =>
  element(
    0x61a7,
    2,
    element(0x466e, 2, Buffer.from(name)),
    element(0x4660, 2, Buffer.from(mediaType)),
    element(0x465c, 2, Buffer.from(data)),
  );
const attachments = (...files: Buffer[]): Buffer => element(0x1941a469, 4, ...files);
const head = element(0x1a45dfa3, 4, Buffer.alloc(10));
const cluster = element(0x1f43b675, 4, Buffer.alloc(300));
const segment = (...parts: Buffer[]): Buffer => Buffer.concat([head, element(0x18538067, 4, ...parts)]);

test('the XMP attachment of a Matroska file is found by its type or its name, behind the frames', () => {
  const attached = attachments(
    attachment('cover.jpg', 'image/jpeg', 'picture'),
    attachment('a', 'application/rdf+xml', 'first'),
    attachment('b.XMP', 'text/plain', 'second'),
  );
  const known = segment(cluster, cluster, attached);
  const unknownSize = Buffer.concat([head, uint(0x18538067, 4), uint(0xff, 1), cluster, attached]);
  for (const file of [known, unknownSize])
    expect(matroskaContents(bytesSource(file))?.xmp.map(String)).toEqual(['first', 'second']);
  expect(matroskaContents(bytesSource(Buffer.from('RIFF....')))).toBeUndefined();
});

test('an XMP attachment that is too large is refused, and that is said', () => {
  const large = 'x'.repeat(2 ** 20 + 1);
  const file = segment(cluster, attachments(attachment('a.xmp', 'application/rdf+xml', large)));
  const contents = matroskaContents(bytesSource(file));
  expect(contents?.xmp).toEqual([]);
  expect(contents?.refusals).toMatchObject([{ what: 'XMP', raw: '1048577 bytes' }]);
});
