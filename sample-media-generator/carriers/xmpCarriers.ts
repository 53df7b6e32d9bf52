import { writeFile } from 'node:fs/promises';
import { PLACE, encodeTestClip, frameSteps, testClipBytes, withHelperFile } from './baseClip.ts';
import { hex, utf8 } from './bytes.ts';
import { box, withBoxesInMoov } from './isoBoxes.ts';
import type { CarrierMaker, ClipFacts } from './truth.ts';

export interface XmpFacts {
  readonly exposure: string;
  readonly fNumber: string;
  readonly iso: number;
}

/** An XMP packet (ISO 16684-1) with the Exif properties of CIPA DC-010. */
export function exposureXmp({ exposure, fNumber, iso }: XmpFacts): string {
  return `<?xpacket begin="\uFEFF" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:exif="http://ns.adobe.com/exif/1.0/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 exif:ExposureTime="${exposure}" exif:FNumber="${fNumber}" xmp:Rating="3"
 exif:GPSLatitude="47,12.375S" exif:GPSLongitude="126,42.75W">
<exif:ISOSpeedRatings><rdf:Seq><rdf:li>${iso}</rdf:li></rdf:Seq></exif:ISOSpeedRatings>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="w"?>
`;
}

/** The box that ISO 16684-3 names for XMP in files of the ISO base media format. */
export function xmpUuidBox(packet: string): Buffer {
  return box('uuid', hex('BE7ACFCB.97A942E8.9C719994.91E3AFAC'), utf8(packet));
}

const FACTS: XmpFacts = { exposure: '1/240', fNumber: '28/10', iso: 100 };
const CLIP: ClipFacts = {
  exposureSeconds: 1 / 240,
  fNumber: 2.8,
  iso: 100,
  rating: 3,
  latitude: PLACE.latitude,
  longitude: PLACE.longitude,
};

function xmpClip(file: string, what: string, make: CarrierMakerBody): CarrierMaker {
  return {
    file,
    make: async (path, ffmpeg) => {
      await make(path, ffmpeg, exposureXmp(FACTS));
      return { carrier: 'xmp', what, frames: frameSteps.length, clip: CLIP, samples: [] };
    },
  };
}

type CarrierMakerBody = (path: string, ffmpeg: string, packet: string) => Promise<void>;

async function inUuidBox(path: string, ffmpeg: string, packet: string): Promise<void> {
  await writeFile(path, Buffer.concat([await testClipBytes(ffmpeg, path), xmpUuidBox(packet)]));
}

async function inUserData(path: string, ffmpeg: string, packet: string): Promise<void> {
  const userData = box('udta', box('XMP_', utf8(packet)));
  await writeFile(path, withBoxesInMoov(await testClipBytes(ffmpeg, path), userData));
}

async function inAttachment(path: string, ffmpeg: string, packet: string): Promise<void> {
  await withHelperFile(`${path}.xmp`, packet, (helper) => {
    const attach = ['-attach', helper, '-metadata:s:t', 'mimetype=application/rdf+xml'];
    return encodeTestClip(ffmpeg, path, [...attach, '-metadata:s:t', 'filename=exposure.xmp']);
  });
}

async function inSidecar(path: string, ffmpeg: string, packet: string): Promise<void> {
  await encodeTestClip(ffmpeg, path, ['-metadata', 'title=XMP beside']);
  await writeFile(path.replace(/MP4$/, 'XMP'), packet);
}

export const xmpClips: readonly CarrierMaker[] = [
  xmpClip('XMPU0001.MP4', 'XMP in the uuid box of ISO 16684-3', inUuidBox),
  xmpClip('XMPU0002.MOV', 'XMP in moov/udta/XMP_', inUserData),
  xmpClip('XMPU0003.MKV', 'XMP as an attachment of type application/rdf+xml', inAttachment),
  xmpClip('XMPU0004.MP4', 'XMP in a sidecar of the same name', inSidecar),
];

/** Tags that are read by name alone. */
export const simpleTagsClip: CarrierMaker = {
  file: 'MKVT0001.MKV',
  make: async (path, ffmpeg) => {
    const tags = ['EXPOSURETIME=1/240', 'FNUMBER=2.8', 'ISO=100'].flatMap((tag) => ['-metadata', tag]);
    await encodeTestClip(ffmpeg, path, tags);
    const clip = { exposureSeconds: 1 / 240, fNumber: 2.8, iso: 100 };
    return {
      carrier: 'simple-tags',
      what: 'Matroska SimpleTags',
      frames: frameSteps.length,
      clip,
      samples: [],
    };
  },
};
