import { writeFileSync } from 'node:fs';
import { latin1, utf8 } from '../carriers/bytes.ts';
import { jpegSegment, withSegments } from '../carriers/exifBlock.ts';
import { withBoxesInMoov, box } from '../carriers/isoBoxes.ts';
import { exposureXmp, xmpUuidBox } from '../carriers/xmpCarriers.ts';
import type { Expected, HostileMaker } from './cases.ts';
import { fileCase, withEnding } from './files.ts';
import * as packets from './xmlPackets.ts';

/** A sidecar beside a still in good order. */
function sidecar(at: string, what: string, expect: Expected, content: () => string | Buffer): HostileMaker {
  return {
    at,
    what,
    kind: 'sidecar',
    expect,
    make: (path, { still }) => {
      writeFileSync(withEnding(path, 'JPG'), still);
      writeFileSync(path, content());
    },
  };
}

const XMP_NAME = latin1('http://ns.adobe.com/xap/1.0/\0');

function embedded(at: string, what: string, expect: Expected, packet: () => string): HostileMaker {
  const segment = () => jpegSegment(0xe1, Buffer.concat([XMP_NAME, utf8(packet())]));
  return fileCase({ at, what, kind: 'still', expect }, ({ still }) => withSegments(still, segment()));
}

const refused: Expected = 'audited-with-refusals';

export const xmlCases: readonly HostileMaker[] = [
  sidecar('XMLS0001.XMP', 'entities that unfold to 10^10 letters', refused, packets.entityBomb),
  sidecar('XMLS0002.XMP', 'entities that lie in a file and on a server', refused, packets.externalEntity),
  sidecar('XMLS0003.XMP', 'a parameter entity that lies on a server', refused, packets.parameterEntity),
  sidecar('XMLS0004.XMP', '100,000 elements inside each other', refused, () => packets.deepXml(100_000)),
  sidecar('XMLS0005.XMP', '200,000 elements that never end', refused, () => packets.unclosedTags(200_000)),
  sidecar('XMLS0006.XMP', 'a million elements side by side', refused, () => packets.siblings(1_000_000)),
  sidecar('XMLS0007.XMP', '200,000 attributes', refused, () => packets.manyAttributes(200_000)),
  sidecar('XMLS0008.XMP', 'one text of 12 MB', refused, () => packets.longText(12_000_000)),
  sidecar('XMLS0009.XMP', 'elements named as prototypes are', 'any', packets.prototypeElements),
  sidecar('XMLS0010.XMP', 'good XMP in UTF-16', 'audited', () => packets.utf16(exposureXmp(GOOD))),
  sidecar(
    'XMLS0011.XMP',
    'the usual prefix for a namespace that is not Exif',
    'audited',
    packets.foreignNamespace,
  ),
  sidecar('XMLS0012.XMP', 'exposure inside a comment', 'audited', packets.valuesInComment),
  sidecar('XMLS0013.XMP', '34,000 descriptions', refused, () => packets.manyDescriptions(34_000)),
  sidecar('XMLS0014.XMP', '50,000 list items that never end', refused, () => packets.openListItems(50_000)),
  sidecar(
    'XMLS0015.XMP',
    'a comment that never ends',
    refused,
    () => `${packets.unclosedTags(1)}<!-- ${'- '.repeat(9e4)}`,
  ),
  sidecar('XMLS0016.XMP', 'nothing but opening brackets', refused, () => '<'.repeat(500_000)),
  sidecar('XMLS0017.XMP', 'zero bytes', refused, () => Buffer.alloc(200_000)),
  sidecar('XMLS0018.XMP', 'nothing at all', 'any', () => ''),
  embedded('XMLE0001.JPG', 'embedded entities that unfold to 10^10 letters', refused, packets.entityBomb),
  embedded('XMLE0002.JPG', 'embedded external entities', refused, packets.externalEntity),
  embedded('XMLE0003.JPG', 'embedded: 9,000 elements inside each other', refused, () =>
    packets.deepXml(9000),
  ),
  embedded('XMLE0004.JPG', 'embedded exposure inside a comment', 'audited', packets.valuesInComment),
  embedded(
    'XMLE0005.JPG',
    'embedded: the usual prefix, another namespace',
    'audited',
    packets.foreignNamespace,
  ),
  embedded('XMLE0006.JPG', 'embedded elements named as prototypes are', 'any', packets.prototypeElements),
  embedded('XMLE0007.JPG', 'embedded: 13,000 elements that never end', refused, () =>
    packets.unclosedTags(13_000),
  ),
  fileCase(
    { at: 'XMLE0008.MP4', what: 'entities in the uuid box of a clip', kind: 'clip', expect: refused },
    ({ clip }) => Buffer.concat([clip, xmpUuidBox(packets.entityBomb())]),
  ),
  fileCase(
    { at: 'XMLE0009.MOV', what: 'deep nesting in the user data of a clip', kind: 'clip', expect: refused },
    ({ clip }) => withBoxesInMoov(clip, box('udta', box('XMP_', utf8(packets.deepXml(100_000))))),
  ),
];

const GOOD = { exposure: '1/240', fNumber: '28/10', iso: 100 };
