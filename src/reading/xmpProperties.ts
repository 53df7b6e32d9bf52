import { XMLParser } from 'fast-xml-parser';

/**
 * Property values by `<namespace URI> <local name>`; arrays keep their order, everything else has one value. A field of
 * a structure is found by both names, with "/" between them.
 */
export type XmpProperties = ReadonlyMap<string, readonly string[]>;

const rdf = 'http://www.w3.org/1999/02/22-rdf-syntax-ns#';
const containers = new Set(['Seq', 'Bag', 'Alt']);

/** The top-level properties of a packet, or the sentence that says why it cannot be read. */
export function xmpProperties(packet: Uint8Array): XmpProperties | string {
  const text = xmpText(packet);
  if (text === undefined) return 'its character encoding is not supported';
  const elements = xmlElements(text);
  if (typeof elements === 'string') return elements;
  const root = rdfRoot(elements);
  if (!root) return 'it holds no rdf:RDF';
  const properties = new Map<string, readonly string[]>();
  for (const description of childElements(root)) addProperties(description, properties);
  return properties;
}

/**
 * A number as XMP writes it: a rational ("1/200") or, as some writers have it, a decimal one. 0/0 is NaN; undefined for
 * any other text.
 * @example xmpNumber('+28/10') // 2.8
 */
export function xmpNumber(text: string): number | undefined {
  const [, numerator, denominator] = /^([+-]?\d{1,12})\/([+-]?\d{1,12})$/.exec(text) ?? [];
  if (numerator !== undefined) return Number(numerator) / Number(denominator);
  return /^[+-]?\d{1,12}(\.\d{1,20})?$/.test(text) ? Number(text) : undefined;
}

function rdfRoot(elements: readonly XmlElement[]): XmlElement | undefined {
  for (const element of elements) {
    if (element.uri === rdf && element.local === 'RDF') return element;
    const inside = rdfRoot(childElements(element));
    if (inside) return inside;
  }
  return undefined;
}

function addProperties(description: XmlElement, properties: Map<string, readonly string[]>): void {
  const add = (uri: string, local: string, values: readonly string[] | undefined) => {
    const key = `${uri} ${local}`;
    if (values && !properties.has(key)) properties.set(key, values);
  };
  for (const { uri, local, value } of description.attributes.filter(isForeign)) {
    add(uri, local, [value]);
  }
  for (const child of childElements(description)) {
    add(child.uri, child.local, propertyValues(child));
    for (const field of fieldsOf(child)) {
      add(child.uri, `${child.local}/${field.uri} ${field.local}`, [field.value]);
    }
  }
}

function isForeign({ uri }: { readonly uri: string }): boolean {
  return uri !== '' && uri !== rdf && uri !== xmlNamespace;
}

/** Fields of a structure, in any of the three ways in which RDF writes them (XMP specification part 1, 7.9.2). */
function fieldsOf(property: XmlElement): readonly XmlAttribute[] {
  const [first] = childElements(property);
  const inner = first?.uri === rdf && first.local === 'Description' ? first : undefined;
  const holder = inner ?? (isResource(property) ? property : undefined);
  const inElements = (holder === undefined ? [] : childElements(holder)).filter(isForeign);
  return [
    ...[property, ...(inner === undefined ? [] : [inner])].flatMap(({ attributes }) =>
      attributes.filter(isForeign),
    ),
    ...inElements.map((field) => ({ uri: field.uri, local: field.local, value: textOf(field) })),
  ];
}

// A structure has no text of its own.
function propertyValues(property: XmlElement): readonly string[] | undefined {
  const [first] = childElements(property);
  if (!first) return isResource(property) ? undefined : [textOf(property)];
  if (first.uri !== rdf) return undefined;
  if (containers.has(first.local)) return childElements(first).map(itemText);
  return qualifiedValue(isResource(property) ? property : first);
}

function itemText(item: XmlElement): string {
  return qualifiedValue(item)?.[0] ?? textOf(item);
}

// A value with qualifiers stands in rdf:value (XMP specification part 1, 7.8).
function qualifiedValue(holder: XmlElement): readonly string[] | undefined {
  const value = childElements(holder).find((child) => child.uri === rdf && child.local === 'value');
  if (value) return [textOf(value)];
  const attribute = holder.attributes.find(({ uri, local }) => uri === rdf && local === 'value');
  return attribute && [attribute.value];
}

function isResource(element: XmlElement): boolean {
  return element.attributes.some(
    ({ uri, local }) => uri === rdf && (local === 'parseType' || local === 'resource'),
  );
}

// The XML reader keeps order, so an element is one object with its name as a key, its attributes under ":@". Namespaces
// are resolved here: the reader knows prefixes only, and any writer may choose its own.

type XmlNode = Readonly<Record<string, unknown>>;

/** The namespaces that one element declares, by prefix ('' for the default one), and what it inherits. */
interface Scope {
  readonly own: ReadonlyMap<string, string>;
  readonly outer?: Scope;
}

/** One element with its names resolved: each is a namespace and a name in it. */
interface XmlElement {
  readonly uri: string;
  readonly local: string;
  readonly attributes: readonly XmlAttribute[];
  readonly children: readonly XmlNode[];
  readonly scope: Scope;
}

interface XmlAttribute {
  /** '' where its prefix was not declared. */
  readonly uri: string;
  readonly local: string;
  readonly value: string;
}

const attributesKey = ':@';
const attributePrefix = '@_';
const textKey = '#text';

const xmlNamespace = 'http://www.w3.org/XML/1998/namespace';

// Both take seconds in the XML reader long before a packet reaches its size limit; real packets hold some hundreds.
const maxTags = 10_000;
const maxAttributes = 10_000;
// A processing instruction is read as attributes, "=" or not; the two of a packet's own hold some dozen characters.
const longInstruction = /<\?[^>]{1000}/;

const parser = new XMLParser({
  ignoreAttributes: false,
  attributeNamePrefix: attributePrefix,
  preserveOrder: true,
  parseTagValue: false,
  parseAttributeValue: false,
  trimValues: false,
  htmlEntities: true,
  // Only character references are left to replace, since document types are refused; base64 thumbnails hold thousands.
  processEntities: { enabled: true, maxTotalExpansions: 100_000, maxExpandedLength: 1024 * 1024 },
});

function xmlElements(text: string): readonly XmlElement[] | string {
  if (/<!(DOCTYPE|ENTITY)/i.test(text)) return 'it brings a document type of its own';
  if (
    occurrences(text, '<') > maxTags ||
    occurrences(text, '=') > maxAttributes ||
    longInstruction.test(text)
  )
    return 'it has too many parts';
  try {
    const nodes = parser.parse(text.trim()) as readonly XmlNode[];
    const scope = { own: new Map([['xml', xmlNamespace]]) };
    return nodes.flatMap((node) => elementOf(node, scope) ?? []);
  } catch {
    return 'it is no well-formed XML';
  }
}

function occurrences(text: string, character: string): number {
  let count = 0;
  for (let at = text.indexOf(character); at >= 0; at = text.indexOf(character, at + 1)) count += 1;
  return count;
}

function textOf(element: XmlElement): string {
  return element.children.map((child) => (typeof child[textKey] === 'string' ? child[textKey] : '')).join('');
}

function childElements(parent: XmlElement): XmlElement[] {
  return parent.children.flatMap((child) => elementOf(child, parent.scope) ?? []);
}

function elementOf(node: XmlNode, outer: Scope): XmlElement | undefined {
  const name = Object.keys(node).find((key) => key !== attributesKey);
  if (name === undefined || name === textKey || name.startsWith('?')) return undefined;
  const raw = Object.entries((node[attributesKey] ?? {}) as Record<string, unknown>).map(
    ([key, value]) => [key.slice(attributePrefix.length), String(value)] as const,
  );
  const declared = raw.flatMap(([key, value]): [string, string][] => {
    if (key === 'xmlns') return [['', value]];
    return key.startsWith('xmlns:') ? [[key.slice(6), value]] : [];
  });
  // Linked, not copied: thousands of namespaces times thousands of elements would take seconds.
  const scope = declared.length > 0 ? { own: new Map(declared), outer } : outer;
  const attributes = raw
    .filter(([key]) => key.includes(':') && !key.startsWith('xmlns:'))
    .map(([key, value]) => ({ ...resolved(key, scope), value }));
  return { ...resolved(name, scope), attributes, children: node[name] as readonly XmlNode[], scope };
}

function resolved(name: string, scope: Scope): { readonly uri: string; readonly local: string } {
  const colon = name.indexOf(':');
  return { uri: namespaceOf(colon < 0 ? '' : name.slice(0, colon), scope), local: name.slice(colon + 1) };
}

function namespaceOf(prefix: string, scope: Scope): string {
  for (let each: Scope | undefined = scope; each; each = each.outer) {
    const uri = each.own.get(prefix);
    if (uri !== undefined) return uri;
  }
  return '';
}

const declaredEncoding = /^<\?xml[^>]*\bencoding\s*=\s*["']([A-Za-z0-9._-]{1,40})["']/;
const latin1Names = new Set(['iso-8859-1', 'latin1', 'windows-1252', 'us-ascii']);

/**
 * The text of an XMP packet. Its byte order mark decides; without one, the zeros round its first character; without
 * those, its XML declaration; else it is UTF-8 (XMP specification part 1, 7.3.2). Absent for other encodings.
 */
function xmpText(packet: Uint8Array): string | undefined {
  const bytes = Buffer.from(packet.buffer, packet.byteOffset, packet.byteLength);
  const start = bytes.toString('hex', 0, 4);
  if (start === '0000feff' || start === '0000003c') return utf32(bytes, 'big');
  if (start === 'fffe0000' || start === '3c000000') return utf32(bytes, 'little');
  if (start.startsWith('feff') || start.startsWith('003c')) return decoded('utf-16be', bytes);
  if (start.startsWith('fffe') || start.startsWith('3c00')) return decoded('utf-16le', bytes);
  const declared = declaredEncoding.exec(bytes.toString('latin1', 0, 200).trimStart())?.[1]?.toLowerCase();
  if (declared !== undefined && latin1Names.has(declared)) return bytes.toString('latin1');
  if (declared === undefined || declared === 'utf-8' || start.startsWith('efbbbf'))
    return decoded('utf-8', bytes);
  return undefined;
}

// Takes the byte order mark away; a damaged sequence becomes U+FFFD, which no number contains.
function decoded(encoding: 'utf-8' | 'utf-16le' | 'utf-16be', bytes: Buffer): string {
  return new TextDecoder(encoding).decode(bytes);
}

function utf32(bytes: Buffer, order: 'big' | 'little'): string {
  const characters: string[] = [];
  for (let at = 0; at + 4 <= bytes.length; at += 4) {
    const code = order === 'big' ? bytes.readUInt32BE(at) : bytes.readUInt32LE(at);
    if (code === 0xfeff && at === 0) continue;
    characters.push(code <= 0x10ffff ? String.fromCodePoint(code) : '\ufffd');
  }
  return characters.join('');
}
