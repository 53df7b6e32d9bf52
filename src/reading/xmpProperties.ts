import {
  childElements,
  textOf,
  xmlElements,
  xmlNamespace,
  type XmlAttribute,
  type XmlElement,
} from './xmlElements.ts';

/**
 * Property values by `<namespace URI> <local name>`; arrays keep their order, everything else has one value. A field of
 * a structure is found by both names, with "/" between them.
 */
export type XmpProperties = ReadonlyMap<string, readonly string[]>;

const rdf = 'http://www.w3.org/1999/02/22-rdf-syntax-ns#';
const containers = new Set(['Seq', 'Bag', 'Alt']);

/** The top-level properties of a packet, or the sentence that says why it cannot be read. */
export function xmpProperties(text: string): XmpProperties | string {
  const elements = xmlElements(text);
  if (typeof elements === 'string') return elements;
  const root = rdfRoot(elements);
  if (!root) return 'it holds no rdf:RDF';
  const properties = new Map<string, readonly string[]>();
  for (const description of childElements(root)) addProperties(description, properties);
  return properties;
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

/** A name that is neither RDF's own nor XML's. */
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
