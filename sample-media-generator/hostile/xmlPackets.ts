/** Pieces of XMP that a parser can be hurt or misled by. */
const RDF = 'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"';
const EXIF = 'xmlns:exif="http://ns.adobe.com/exif/1.0/"';
const OPEN = `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF ${RDF}>`;
const CLOSE = '</rdf:RDF></x:xmpmeta>';

export function description(attributes: string, inner = ''): string {
  return `${OPEN}<rdf:Description rdf:about="" ${EXIF} ${attributes}>${inner}</rdf:Description>${CLOSE}`;
}

export function deepXml(levels: number): string {
  return description('', '<a>'.repeat(levels) + '</a>'.repeat(levels));
}

/** Ten entities, each ten times the one before: 10^10 letters. */
export function entityBomb(): string {
  const more = Array.from({ length: 9 }, (_, at) => `<!ENTITY e${at + 1} "${`&e${at};`.repeat(10)}">`).join(
    '',
  );
  return `<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e0 "${'x'.repeat(10)}">${more}]>${description('', '<exif:ExposureTime>&e9;</exif:ExposureTime>')}`;
}

export function externalEntity(): string {
  const type =
    '<!DOCTYPE x [<!ENTITY f SYSTEM "file:///etc/hostname"><!ENTITY h SYSTEM "http://127.0.0.1:8099/x">]>';
  return `<?xml version="1.0"?>${type}${description('', '<exif:UserComment>&f;&h;</exif:UserComment>')}`;
}

export function parameterEntity(): string {
  const type = '<!DOCTYPE x [<!ENTITY % p SYSTEM "http://127.0.0.1:8099/x.dtd"> %p;]>';
  return `<?xml version="1.0"?>${type}${description('exif:ExposureTime="1/60"')}`;
}

/** The prefix everyone knows, bound to a name that is not that of Exif. */
export function foreignNamespace(): string {
  const foreign = 'xmlns:exif="urn:aeroform:not-exif"';
  return `${OPEN}<rdf:Description rdf:about="" ${foreign} exif:ExposureTime="1/7" exif:FNumber="7/1"/>${CLOSE}`;
}

export function valuesInComment(): string {
  return description('', '<!-- exif:ExposureTime="1/7" <exif:FNumber>9/1</exif:FNumber> -->');
}

export function prototypeElements(): string {
  const poison =
    '<__proto__><exif:ExposureTime>1/7</exif:ExposureTime></__proto__><constructor>x</constructor>';
  return description('', poison);
}

export function unclosedTags(count: number): string {
  return OPEN + '<a b>'.repeat(count);
}

export function siblings(count: number): string {
  return description('', '<a/>'.repeat(count));
}

export function manyAttributes(count: number): string {
  return description(Array.from({ length: count }, (_, index) => `a${index}="1"`).join(' '));
}

export function openListItems(count: number): string {
  return OPEN + '<rdf:li>'.repeat(count);
}

export function manyDescriptions(count: number): string {
  return OPEN + '<rdf:Description rdf:about=""/>'.repeat(count) + CLOSE;
}

export function longText(bytes: number): string {
  return description('', `<exif:UserComment>${'text '.repeat(bytes / 5)}</exif:UserComment>`);
}

export function utf16(xml: string): Buffer {
  return Buffer.from(`\uFEFF${xml}`, 'utf16le');
}
