import { placeOf, recordingNumber } from './place.ts';
import type { ClipPlan } from './plan.ts';

/** An XMP packet (ISO 16684-1) with the Exif properties of CIPA DC-010. It has no property for the meter's opinion. */
export function xmpPacket(plan: ClipPlan): string {
  const place = placeOf(recordingNumber(plan.file));
  const properties = {
    'tiff:Make': 'Aeroform',
    'tiff:Model': 'A1',
    'xmp:CreateDate': plan.recordedAt,
    'exif:ExposureTime': plan.exposure,
    'exif:FNumber': `${Math.round(plan.fNumber * 10)}/10`,
    'exif:ExposureBiasValue': '0/1',
    'exif:GPSLatitude': degreesMinutes(place.latitude, 'N', 'S'),
    'exif:GPSLongitude': degreesMinutes(place.longitude, 'E', 'W'),
    'exif:GPSAltitudeRef': '0',
    'exif:GPSAltitude': `${place.altitudeMetres}/1`,
    'exif:GPSImgDirectionRef': 'T',
    'exif:GPSImgDirection': `${place.headingDegrees}/1`,
    'exifEX:PhotographicSensitivity': String(plan.iso),
  };
  const attributes = Object.entries(properties).map(([name, value]) => `      ${name}="${value}"`);
  return `<?xpacket begin="\uFEFF" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
  <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
    <rdf:Description rdf:about=""
      xmlns:tiff="http://ns.adobe.com/tiff/1.0/"
      xmlns:xmp="http://ns.adobe.com/xap/1.0/"
      xmlns:exif="http://ns.adobe.com/exif/1.0/"
      xmlns:exifEX="http://cipa.jp/exif/1.0/"
${attributes.join('\n')}/>
  </rdf:RDF>
</x:xmpmeta>
<?xpacket end="w"?>
`;
}

function degreesMinutes(degrees: number, positive: string, negative: string): string {
  const whole = Math.floor(Math.abs(degrees));
  const minutes = (Math.abs(degrees) - whole) * 60;
  return `${whole},${minutes.toFixed(4)}${degrees < 0 ? negative : positive}`;
}
