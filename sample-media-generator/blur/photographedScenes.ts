import { existsSync } from 'node:fs';
import sharp from 'sharp';
import type { LightPicture } from './blurCase.ts';

/** Free photographs and paintings of Debian packages. None is part of this project: what is absent is left out. */
const photographs: Readonly<Record<string, { package: string; path: string; scale: number }>> = {
  plants: fromWallpapers('OneStandsOut/contents/images/2560x1600.jpg', 0.8),
  path: fromWallpapers('Path/contents/images/2560x1600.jpg', 0.8),
  boats: fromWallpapers('EveningGlow/contents/images/2560x1600.jpg', 0.8),
  autumn: fromWallpapers('Autumn/contents/images/2560x1600.jpg', 0.8),
  beasts: fromBackgrounds('abstract/Elephants_5640x3172.jpg', 0.45),
  garden: fromBackgrounds('nature/Garden.jpg', 0.9),
};

export const photographNames = Object.keys(photographs);

function fromWallpapers(path: string, scale: number) {
  return { package: 'plasma-workspace-wallpapers', path: `/usr/share/wallpapers/${path}`, scale };
}

function fromBackgrounds(path: string, scale: number) {
  return { package: 'mate-backgrounds', path: `/usr/share/backgrounds/mate/${path}`, scale };
}

/** @returns the Debian package that carries the photograph, where it is not installed; undefined where it is there */
export function missingPackage(name: string): string | undefined {
  const photograph = photographs[name];
  return photograph === undefined || existsSync(photograph.path) ? undefined : photograph.package;
}

/** A photograph of those above, or one named by its path, as scene light, twice as fine as a picture will show it. */
export async function loadPhotograph(name: string): Promise<LightPicture | undefined> {
  // Any other photograph goes by its path; halved, it is sharp to the pixel.
  const photograph = photographs[name] ?? { path: name, scale: 0.5 };
  if (!existsSync(photograph.path)) return undefined;
  const { width } = await sharp(photograph.path).metadata();
  // First to the size at which it is sharp to the pixel, then twice as fine.
  const reduced = await sharp(photograph.path)
    .resize(Math.round(width * photograph.scale))
    .png()
    .toBuffer({ resolveWithObject: true });
  const { data, info } = await sharp(reduced.data)
    .resize(reduced.info.width * 2, reduced.info.height * 2, { kernel: 'cubic', fit: 'fill' })
    .removeAlpha()
    .toColourspace('srgb')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const light = new Float32Array(info.width * info.height);
  for (let i = 0, at = 0; i < light.length; i++, at += info.channels)
    light[i] =
      0.2126 * srgbLight[data[at]!]! +
      0.7152 * srgbLight[data[at + 1]!]! +
      0.0722 * srgbLight[data[at + 2]!]!;
  return { width: info.width, height: info.height, light };
}

// IEC 61966-2-1; the weights above are those of ITU-R BT.709.
const srgbLight = Float32Array.from({ length: 256 }, (_, code) => {
  const signal = code / 255;
  return signal <= 0.04045 ? signal / 12.92 : ((signal + 0.055) / 1.055) ** 2.4;
});
