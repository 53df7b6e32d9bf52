/*
 * The serialized classes of OpenTimelineIO, as the project publishes them in its generated document "Serialized Data
 * (Fields Only)" (docs/tutorials/otio-serialized-schema-only-fields.md, the version with Clip.2 and Marker.2), and from
 * "File Format Specification": "children" holds the members of a composition. The reference library is on no registry
 * for this language; where its Python package is installed, otio.test.ts asks it too.
 */

type Check = (value: unknown, at: string) => readonly string[];
type Fields = Readonly<Record<string, Check>>;

const text: Check = (value, at) => (typeof value === 'string' ? [] : [`${at} is no text`]);
const number: Check = (value, at) => (Number.isFinite(value) ? [] : [`${at} is no finite number`]);
const truth: Check = (value, at) => (typeof value === 'boolean' ? [] : [`${at} is no boolean`]);
const dictionary: Check = (value, at) =>
  typeof value === 'object' && value !== null && !Array.isArray(value) ? [] : [`${at} is no dictionary`];
const nothing: Check = (value, at) => (value === null ? [] : [`${at} is not null`]);
const oneOf =
  (...words: readonly string[]): Check =>
  (value, at) =>
    words.includes(value as string) ? [] : [`${at} is "${String(value)}"`];
const either =
  (...checks: readonly Check[]): Check =>
  (value, at) =>
    checks.some((check) => check(value, at).length === 0) ? [] : checks.flatMap((check) => check(value, at));
const listOf =
  (check: Check): Check =>
  (value, at) =>
    Array.isArray(value)
      ? value.flatMap((entry, index) => check(entry, `${at}[${index}]`))
      : [`${at} is no list`];
const mapOf =
  (check: Check): Check =>
  (value, at) => [
    ...dictionary(value, at),
    ...Object.entries(value ?? {}).flatMap(([key, entry]) => check(entry, `${at}.${key}`)),
  ];
/** An object of one of the classes, with all their fields and no others. */
const object =
  (...schemas: readonly string[]): Check =>
  (value, at) => {
    const schema = (value as { readonly OTIO_SCHEMA?: unknown } | null)?.OTIO_SCHEMA;
    if (typeof schema !== 'string' || !schemas.includes(schema))
      return [`${at} is ${String(schema)}, not ${schemas.join(' or ')}`];
    const { OTIO_SCHEMA: _, ...fields } = value as Record<string, unknown>;
    const wanted = classes[schema]!;
    return [
      ...Object.keys(fields).flatMap((name) => (name in wanted ? [] : [`${at}.${name} is no field`])),
      ...Object.entries(wanted).flatMap(([name, check]) => check(fields[name], `${at}.${name}`)),
    ];
  };

const rationalTime = object('RationalTime.1');
const timeRange = object('TimeRange.1');
const named: Fields = { name: text, metadata: dictionary };
const item: Fields = {
  ...named,
  source_range: either(nothing, timeRange),
  effects: listOf(object('Effect.1')),
  markers: listOf(object('Marker.2')),
  enabled: truth,
};

const classes: Readonly<Record<string, Fields>> = {
  'Timeline.1': { ...named, global_start_time: either(nothing, rationalTime), tracks: object('Stack.1') },
  'Stack.1': { ...item, children: listOf(object('Track.1', 'Clip.2', 'Stack.1', 'Gap.1')) },
  'Track.1': {
    ...item,
    kind: oneOf('Video', 'Audio'),
    children: listOf(object('Clip.2', 'Gap.1', 'Stack.1')),
  },
  'Clip.2': {
    ...item,
    media_references: mapOf(object('ExternalReference.1', 'MissingReference.1')),
    active_media_reference_key: text,
  },
  'Gap.1': item,
  'Effect.1': { ...named, effect_name: text },
  'ExternalReference.1': {
    ...named,
    available_range: either(nothing, timeRange),
    available_image_bounds: nothing,
    target_url: text,
  },
  'MissingReference.1': {
    ...named,
    available_range: either(nothing, timeRange),
    available_image_bounds: nothing,
  },
  'Marker.2': {
    ...named,
    comment: text,
    // opentimelineio.schema.MarkerColor
    color: oneOf(...'PINK RED ORANGE YELLOW GREEN CYAN BLUE PURPLE MAGENTA BLACK WHITE'.split(' ')),
    marked_range: timeRange,
  },
  'TimeRange.1': { start_time: rationalTime, duration: rationalTime },
  'RationalTime.1': { value: number, rate: number },
};

/** What does not fit the published classes; nothing where all fits. */
export function otioFaults(value: unknown): readonly string[] {
  return object('Timeline.1')(value, 'timeline');
}
