/*
 * The daylight of the invented pilots' world by the equations of the Illuminating Engineering Society (1984), from memory:
 * beam and sky apart, for clear, partly cloudy and cloudy skies. They are other equations than the ones Halfturn starts
 * from. Below the horizon the light falls by a decade each 2.9 degrees, from sunset to the end of civil twilight.
 */

export type SkyName = 'clear' | 'haze' | 'cloud' | 'overcast';

const sine = (degrees: number) => Math.sin((degrees * Math.PI) / 180);

/** Lux of the direct sun on what faces it, and of the sky on level ground. */
export interface Light {
  readonly beamLux: number;
  readonly skyLux: number;
}

/**
 * @param air the optical depth of the air that day, 0.12 clean to 0.4 milky
 * @param shade how much of the sun the cloud of the moment leaves, [0, 1]
 */
export function lightOf(degrees: number, sky: SkyName, air: number, shade: number): Light {
  const lowest = 0.5;
  const s = sine(Math.max(degrees, lowest));
  const below = degrees < lowest ? 10 ** ((degrees - lowest) / 2.9) : 1;
  const beam = degrees < -0.5 ? 0 : 127_500 * Math.exp(-air / s) * shade;
  const clearSky = 800 + 15_500 * Math.sqrt(s);
  const partlySky = 300 + 45_000 * s;
  const skyLux = {
    clear: clearSky * (0.8 + air),
    haze: (clearSky + partlySky) / 2,
    cloud: partlySky * (1.1 - 0.4 * shade),
    overcast: 300 + 21_000 * s,
  }[sky];
  return { beamLux: beam * below, skyLux: skyLux * below };
}
