/** Where a recording was made: an invented spot far from any land. */
export interface Place {
  readonly latitude: number;
  readonly longitude: number;
  readonly altitudeMetres: number;
  readonly headingDegrees: number;
}

/** The aircraft crept north-west from recording to recording. */
export function placeOf(number: number): Place {
  return {
    latitude: rounded(-47.2 + 0.0007 * number),
    longitude: rounded(-126.7 - 0.0011 * number),
    altitudeMetres: 92 + (number % 5),
    headingDegrees: (210 + 13 * number) % 360,
  };
}

/** DCIM/100_AERO/CLIP0007.MP4 -> 7; stills count on from 100. */
export function recordingNumber(file: string): number {
  const digits = Number(/(\d{4})\.\w+$/.exec(file)?.[1] ?? 0);
  return file.includes('/AERO') ? 100 + digits : digits;
}

function rounded(degrees: number): number {
  return Math.round(degrees * 1e5) / 1e5;
}
