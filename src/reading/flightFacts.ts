// What is known of the XMP that aircraft write, before any code (common practice, no source, except where a line says
// more):
// - Each maker has a namespace of its own, so a property is known by its local name alone, and only in a namespace that
//   speaks of a flight: "Height" of a preview is another thing.
// - The attitude of the gimbal or of the camera says where the picture looks. That of the aircraft ("PitchAngle",
//   "FlightPitchDegree") does not: a survey looks straight down from an aircraft that flies level.
// - A gimbal's pitch counts from the horizon, -90 is straight down. A camera's pitch counts from the horizon with some
//   writers and from straight down with others; only what lies well below the horizon by the first cannot be the second.
import type { Refusal } from '../domain/recording.ts';
import { judgedNumber, type BoundedFact, type RecordedNumber } from './recordedNumber.ts';
import { sighting, type Carrier, type FactSighting, type Reading } from './sighting.ts';
import { xmpNumber, type XmpProperties } from './xmpProperties.ts';

type FlightFact = Extract<
  BoundedFact,
  'heightOverStartMetres' | 'groundSpeedMetresPerSecond' | 'cameraPitchDegrees' | 'headingDegrees'
>;

/** Numbers of one namespace, by local name in lower case and without "_". */
type Flight = ReadonlyMap<string, RecordedNumber>;

const flightWords = /pitch|yaw|roll|speed/;
const endings = ['degree', 'degrees', 'angle', ''];

/** Heights, speed and where the camera looks. Nothing that cannot be true becomes a fact. */
export function flightFacts(
  properties: XmpProperties,
  { carrier, label }: { readonly carrier: Carrier; readonly label: string },
): Reading {
  const sightings: FactSighting[] = [];
  const refusals: Refusal[] = [];
  const add = (fact: FlightFact, recorded: RecordedNumber | undefined) => {
    if (recorded === undefined || sightings.some((each) => each.fact === fact)) return;
    const { value, refusal } = judgedNumber(fact, recorded);
    if (value !== undefined) sightings.push(sighting(fact, value, carrier, recorded.source));
    if (refusal !== undefined) refusals.push(refusal);
  };
  for (const flight of flights(properties, label)) {
    add('heightOverStartMetres', first(flight, ['relativealtitude', 'relativeheight', 'height']));
    add('groundSpeedMetresPerSecond', flight.get('groundspeed') ?? acrossAndAlong(flight));
    add('cameraPitchDegrees', cameraPitch(flight));
    add('headingDegrees', wrapped(attitude(flight, 'gimbal', 'yaw') ?? attitude(flight, 'camera', 'yaw')));
  }
  return { sightings, refusals };
}

function flights(properties: XmpProperties, label: string): readonly Flight[] {
  const spaces = new Map<string, Map<string, RecordedNumber>>();
  for (const [key, [text = '']] of properties) {
    const [uri = '', local = '', ...field] = key.split(' ');
    const value = xmpNumber(text.trim());
    if (value === undefined || field.length > 0) continue;
    const space = spaces.get(uri) ?? new Map<string, RecordedNumber>();
    space.set(local.toLowerCase().replaceAll('_', ''), { value, raw: text, source: `${label} ${local}` });
    spaces.set(uri, space);
  }
  return [...spaces.values()].filter((space) => [...space.keys()].some((name) => flightWords.test(name)));
}

function first(flight: Flight, names: readonly string[]): RecordedNumber | undefined {
  const name = names.find((each) => flight.has(each));
  return name === undefined ? undefined : flight.get(name);
}

function attitude(
  flight: Flight,
  of: 'gimbal' | 'camera',
  axis: 'pitch' | 'yaw',
): RecordedNumber | undefined {
  return first(
    flight,
    endings.map((ending) => `${of}${axis}${ending}`),
  );
}

/** Degrees; a camera that is turned this far back from straight down hangs upside down. */
const surelyBelowHorizon = -30;

function cameraPitch(flight: Flight): RecordedNumber | undefined {
  const gimbal = attitude(flight, 'gimbal', 'pitch');
  if (gimbal !== undefined) return gimbal;
  const camera = attitude(flight, 'camera', 'pitch');
  return camera !== undefined && camera.value <= surelyBelowHorizon ? camera : undefined;
}

/** Yaw counts from -180 to 180 with some writers. */
function wrapped(yaw: RecordedNumber | undefined): RecordedNumber | undefined {
  if (yaw === undefined || Math.abs(yaw.value) > 360) return yaw;
  return { ...yaw, value: (yaw.value + 360) % 360 };
}

function acrossAndAlong(flight: Flight): RecordedNumber | undefined {
  const [x, y] = [flight.get('flightxspeed'), flight.get('flightyspeed')];
  if (x === undefined || y === undefined) return undefined;
  return {
    value: Math.hypot(x.value, y.value),
    raw: `${x.raw}, ${y.raw}`,
    source: `${x.source} and FlightYSpeed`,
  };
}
