import type { LoggedFlight, LoggedRecording } from '../../src/document/loggedFlight.ts';

/** A flight whose recordings carry its number, so that a half of it would show. */
export function madeFlight(number: number, recordings: number): LoggedFlight {
  return {
    enteredAt: '2026-05-14T18:02:11Z',
    dump: `card-${number}`,
    startedAt: '2026-05-14T10:00:00+02:00',
    endedAt: '2026-05-14T10:40:00+02:00',
    place: 'Long Shoal',
    latitude: -47.2,
    longitude: -126.7,
    sky: 'haze',
    notes: 'place = "Long Shoal"\n',
    recordings: Array.from({ length: recordings }, (_, at) => madeRecording(number, at)),
  };
}

export function madeRecording(flight: number, at: number): LoggedRecording {
  return {
    fingerprint: `${String(flight).padStart(16, '0')}${String(at).padStart(16, '0')}`,
    path: `DCIM/100_AERO/CLIP${String(at).padStart(4, '0')}.MP4`,
    kind: at % 3 === 2 ? 'still' : 'clip',
    recordedAt: '2026-05-14T10:00:00+02:00',
    atMs: 1778745600000 + at * 60_000,
    timeBasis: 'recorded',
    camera: 'Aeroform A1',
    framesPerSecond: 24000 / 1001,
    exposureSeconds: 0.02,
    fNumber: 2.8,
    iso: 100,
    sensorEv100: 8.6,
    offsetStops: 0.1,
    offsetBasis: 'metered',
    inWindow: at % 2 === 0,
    shutterVerdict: 'on',
    shutterOffsetStops: -0.06,
    clippedFraction: 0.002,
    fitted: { label: 'ND16', labelStops: 4 },
    neededStops: 4.06,
    additionalStops: 0.06,
    pickLabel: 'ND16',
    latitude: -47.2,
    longitude: -126.7,
    headingDegrees: 120,
    sunElevationDegrees: 21.5,
    sunAzimuthDegrees: 20.2,
    detail: { findings: [], facts: { iso: { value: 100, source: 'EXIF ISO' } } },
  };
}
