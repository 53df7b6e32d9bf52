import { XMLParser } from 'fast-xml-parser';

// The XML reader keeps order, so an element is one object with its name as a key, its attributes under ":@". Namespaces
// are resolved here: the reader knows prefixes only, and any writer may choose its own.

type XmlNode = Readonly<Record<string, unknown>>;

/** The namespaces that one element declares, by prefix ('' for the default one), and what it inherits. */
interface Scope {
  readonly own: ReadonlyMap<string, string>;
  readonly outer?: Scope;
}

/** One element with its names resolved: each is a namespace and a name in it. */
export interface XmlElement {
  readonly uri: string;
  readonly local: string;
  readonly attributes: readonly XmlAttribute[];
  readonly children: readonly XmlNode[];
  readonly scope: Scope;
}

export interface XmlAttribute {
  /** '' where its prefix was not declared. */
  readonly uri: string;
  readonly local: string;
  readonly value: string;
}

const attributesKey = ':@';
const attributePrefix = '@_';
const textKey = '#text';

export const xmlNamespace = 'http://www.w3.org/XML/1998/namespace';

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

/** The outermost elements of a text, or the sentence that says why it cannot be read. */
export function xmlElements(text: string): readonly XmlElement[] | string {
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

/** The text of an element without that of its children. */
export function textOf(element: XmlElement): string {
  return element.children.map((child) => (typeof child[textKey] === 'string' ? child[textKey] : '')).join('');
}

export function childElements(parent: XmlElement): XmlElement[] {
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
