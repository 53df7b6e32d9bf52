// The XML reader keeps order, so an element is one object with its name as a key, its attributes under ":@".
import { XMLParser } from 'fast-xml-parser';

type XmlNode = Readonly<Record<string, unknown>>;

/** The namespaces that one element declares, by prefix ('' for the default one), and what it inherits. */
interface Scope {
  readonly own: ReadonlyMap<string, string>;
  readonly outer?: Scope;
}

interface Element {
  readonly uri: string;
  readonly local: string;
  readonly attributes: readonly { readonly uri: string; readonly local: string; readonly value: string }[];
  readonly children: readonly XmlNode[];
  readonly scope: Scope;
}

/**
 * Property values by `<namespace URI> <local name>`; arrays keep their order, everything else has one value. A field of
 * a structure is found by both names, with "/" between them.
 */
export type XmpProperties = ReadonlyMap<string, readonly string[]>;

const rdf = 'http://www.w3.org/1999/02/22-rdf-syntax-ns#';
const xmlNamespace = 'http://www.w3.org/XML/1998/namespace';
const containers = new Set(['Seq', 'Bag', 'Alt']);
const attributesKey = ':@';
const attributePrefix = '@_';
const textKey = '#text';

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

/** The top-level properties of a packet, or the sentence that says why it cannot be read. */
export function xmpProperties(text: string): XmpProperties | string {
  if (/<!(DOCTYPE|ENTITY)/i.test(text)) return 'it brings a document type of its own';
  if (
    occurrences(text, '<') > maxTags ||
    occurrences(text, '=') > maxAttributes ||
    longInstruction.test(text)
  )
    return 'it has too many parts';
  let nodes: readonly XmlNode[];
  try {
    nodes = parser.parse(text.trim()) as readonly XmlNode[];
  } catch {
    return 'it is no well-formed XML';
  }
  const root = rdfRoot(nodes, { own: new Map([['xml', xmlNamespace]]) });
  if (!root) return 'it holds no rdf:RDF';
  const properties = new Map<string, readonly string[]>();
  for (const description of elements(root)) addProperties(description, properties);
  return properties;
}

function occurrences(text: string, character: string): number {
  let count = 0;
  for (let at = text.indexOf(character); at >= 0; at = text.indexOf(character, at + 1)) count += 1;
  return count;
}

function rdfRoot(nodes: readonly XmlNode[], scope: Scope): Element | undefined {
  for (const node of nodes) {
    const element = elementOf(node, scope);
    if (!element) continue;
    if (element.uri === rdf && element.local === 'RDF') return element;
    const inside = rdfRoot(element.children, element.scope);
    if (inside) return inside;
  }
  return undefined;
}

function addProperties(description: Element, properties: Map<string, readonly string[]>): void {
  const add = (uri: string, local: string, values: readonly string[] | undefined) => {
    const key = `${uri} ${local}`;
    if (values && !properties.has(key)) properties.set(key, values);
  };
  for (const { uri, local, value } of description.attributes) {
    if (uri !== '' && uri !== rdf && uri !== xmlNamespace) add(uri, local, [value]);
  }
  for (const child of elements(description)) {
    add(child.uri, child.local, propertyValues(child));
    for (const field of fieldsOf(child)) {
      add(child.uri, `${child.local}/${field.uri} ${field.local}`, [field.value]);
    }
  }
}

/** Fields of a structure, in any of the three ways in which RDF writes them (XMP specification part 1, 7.9.2). */
function fieldsOf(property: Element): readonly { uri: string; local: string; value: string }[] {
  const [first] = elements(property);
  const inner = first?.uri === rdf && first.local === 'Description' ? first : undefined;
  const isForeign = ({ uri }: { readonly uri: string }) => uri !== '' && uri !== rdf && uri !== xmlNamespace;
  const holder = inner ?? (isResource(property) ? property : undefined);
  const inElements = (holder === undefined ? [] : elements(holder)).filter(isForeign);
  return [
    ...[property, ...(inner === undefined ? [] : [inner])].flatMap(({ attributes }) =>
      attributes.filter(isForeign),
    ),
    ...inElements.map((field) => ({ uri: field.uri, local: field.local, value: textOf(field) })),
  ];
}

// A structure has no text of its own.
function propertyValues(property: Element): readonly string[] | undefined {
  const [first] = elements(property);
  if (!first) return isResource(property) ? undefined : [textOf(property)];
  if (first.uri !== rdf) return undefined;
  if (containers.has(first.local)) return elements(first).map(itemText);
  return qualifiedValue(isResource(property) ? property : first);
}

function itemText(item: Element): string {
  return qualifiedValue(item)?.[0] ?? textOf(item);
}

// A value with qualifiers stands in rdf:value (XMP specification part 1, 7.8).
function qualifiedValue(holder: Element): readonly string[] | undefined {
  const value = elements(holder).find((child) => child.uri === rdf && child.local === 'value');
  if (value) return [textOf(value)];
  const attribute = holder.attributes.find(({ uri, local }) => uri === rdf && local === 'value');
  return attribute && [attribute.value];
}

function isResource(element: Element): boolean {
  return element.attributes.some(
    ({ uri, local }) => uri === rdf && (local === 'parseType' || local === 'resource'),
  );
}

function textOf(element: Element): string {
  return element.children.map((child) => (typeof child[textKey] === 'string' ? child[textKey] : '')).join('');
}

function elements(parent: Element): Element[] {
  return parent.children.flatMap((child) => elementOf(child, parent.scope) ?? []);
}

function elementOf(node: XmlNode, outer: Scope): Element | undefined {
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
