import { frameCount, frameExposures } from './exposureTrack.ts';
import { placeOf, recordingNumber, type Place } from './place.ts';
import type { Arrangement, ClipPlan, Exposure } from './plan.ts';
import { rational, toNumber } from './rational.ts';

type Words = Exposure & Place;

/** Telemetry in words, in three arrangements of this card's own. */
const ARRANGEMENTS: Readonly<Record<Arrangement, (facts: Words) => string>> = {
  pairs: (facts) =>
    `iso: ${facts.iso} shutter: ${facts.exposure} f-number: ${facts.fNumber} ` +
    `exposure offset: ${facts.meteredOffsetStops.toFixed(1)} ` +
    `latitude: ${facts.latitude.toFixed(5)} longitude: ${facts.longitude.toFixed(5)} ` +
    `altitude: ${facts.altitudeMetres.toFixed(1)} heading: ${facts.headingDegrees}`,
  lines: (facts) =>
    [
      `ISO = ${facts.iso}`,
      `Exposure time = ${decimalSeconds(facts.exposure)} s`,
      `Aperture = f/${facts.fNumber}`,
      `Metered offset = ${signed(facts.meteredOffsetStops)} EV`,
      `Latitude = ${facts.latitude.toFixed(5)}`,
      `Longitude = ${facts.longitude.toFixed(5)}`,
      `Altitude = ${facts.altitudeMetres} m`,
      `Heading = ${facts.headingDegrees}`,
    ].join('\n'),
  list: (facts) =>
    `Shutter speed ${facts.exposure} s, Aperture f/${facts.fNumber}, ISO ${facts.iso}, ` +
    `Metered offset ${signed(facts.meteredOffsetStops)} EV, Latitude ${facts.latitude.toFixed(5)}, ` +
    `Longitude ${facts.longitude.toFixed(5)}, Altitude ${facts.altitudeMetres} m, Heading ${facts.headingDegrees}`,
};

/** SubRip text with one cue a second, or one a frame. `exposure` replaces the plan's own where a carrier contradicts. */
export function subRip(
  plan: ClipPlan,
  { arrangement, everyFrame = false }: Telemetry,
  exposure?: string,
): string {
  const rate = toNumber(rational(plan.rate));
  const frames = frameCount(plan);
  const exposures = frameExposures(plan);
  const place = placeOf(recordingNumber(plan.file));
  const framesPerCue = everyFrame ? 1 : rate;
  const cues = Math.round(frames / framesPerCue);
  return Array.from({ length: cues }, (_, cue) => {
    const from = (cue * framesPerCue) / rate;
    const to = (cue === cues - 1 ? frames : (cue + 1) * framesPerCue) / rate;
    const recorded = exposure ?? exposures[Math.floor(cue * framesPerCue)]?.text ?? plan.exposure;
    const words = ARRANGEMENTS[arrangement]({ ...plan, ...place, exposure: recorded });
    return `${cue + 1}\n${clock(from)} --> ${clock(to)}\n${words}\n`;
  }).join('\n');
}

interface Telemetry {
  readonly arrangement: Arrangement;
  readonly everyFrame?: boolean;
}

function clock(seconds: number): string {
  return new Date(Math.round(seconds * 1000)).toISOString().slice(11, 23).replace('.', ',');
}

function decimalSeconds(exposure: string): string {
  return String(Number(toNumber(rational(exposure)).toPrecision(6)));
}

function signed(stops: number): string {
  return `${stops < 0 ? '-' : '+'}${Math.abs(stops).toFixed(1)}`;
}
