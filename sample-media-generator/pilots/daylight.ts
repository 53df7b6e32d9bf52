/*
 * The daylight of the invented pilots' world: level-ground illuminance by the equations of the Illuminating Engineering
 * Society (1984), from memory: sky plus beam for clear, partly cloudy and cloudy skies. They are other equations than
 * the ones Halfturn starts from, and differ from those by up to half a stop below 10 degrees.
 */

export type SkyName = 'clear' | 'haze' | 'cloud' | 'overcast';

const sine = (degrees: number) => Math.sin((degrees * Math.PI) / 180);

/** Beam and sky in kilolux; h above 0. */
function kilolux(h: number, sky: 'clear' | 'partly' | 'cloudy'): number {
  const s = sine(h);
  if (sky === 'cloudy') return 0.3 + 21 * s;
  const extinction = sky === 'clear' ? 0.21 : 0.8;
  const beam = 127.5 * Math.exp(-extinction / s) * s;
  return beam + (sky === 'clear' ? 0.8 + 15.5 * Math.sqrt(s) : 0.3 + 45 * s);
}

/** Exposure value at ISO 100 of level ground: log2(lux / 2.5). */
export function levelGroundEv(elevationDegrees: number, sky: SkyName): number {
  const h = Math.max(elevationDegrees, 0.5);
  const ev = (kind: 'clear' | 'partly' | 'cloudy') => Math.log2((1000 * kilolux(h, kind)) / 2.5);
  if (sky === 'clear') return ev('clear');
  if (sky === 'overcast') return ev('cloudy');
  // Haze lies between clear and partly cloudy, cloud between partly cloudy and overcast.
  return sky === 'haze' ? (ev('clear') + ev('partly')) / 2 : (ev('partly') + ev('cloudy')) / 2;
}
