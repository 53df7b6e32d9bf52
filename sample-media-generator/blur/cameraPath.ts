import { lattice } from '../random.ts';
import type { BlurCase, LightPicture } from './blurCase.ts';

/** A 3 × 3 map, row by row, from picture pixels to texels of a scene (two to a pixel). */
export type PictureToScene = Float64Array;

/** Where the camera looks, at any time counted in frames. */
export type CameraPath = (frameTime: number) => PictureToScene;

/** The path over one layer of the scene. `nearness` scales the speed: layers of a parallax differ in it. */
export function cameraPath(blur: BlurCase, scene: LightPicture, nearness = 1): CameraPath {
  const speed = blur.pixelsPerFrame * nearness;
  const turn = (blur.directionDegrees * Math.PI) / 180;
  const centre = { x: scene.width / 2, y: scene.height / 2 };
  const { width, height } = blur;
  const acceleration = blur.accelerationFraction ?? 0;
  return (frameTime) => {
    const time = frameTime + (acceleration * frameTime ** 2) / 2;
    if (blur.move === 'roll') {
      const angle = (speed / 500) * time;
      return about(centre, { width, height }, 2 * Math.cos(angle), 2 * Math.sin(angle));
    }
    if (blur.move === 'zoom') return about(centre, { width, height }, 2 * Math.exp((-speed / 500) * time), 0);
    if (blur.move === 'flight') return overGround(blur, scene, speed * time);
    const shake = vibration(blur, frameTime);
    const start = 300 + 900 * lattice(blur.seed, 1, 5);
    const x = start + 2 * (speed * Math.cos(turn) * time + shake.x);
    const y = start / 2 + 2 * (speed * Math.sin(turn) * time + shake.y);
    return Float64Array.of(2, 0, x, 0, 2, y, 0, 0, 1);
  };
}

function about(
  centre: { x: number; y: number },
  { width, height }: { width: number; height: number },
  cos: number,
  sin: number,
): PictureToScene {
  const x = centre.x - (cos * width) / 2 + (sin * height) / 2;
  const y = centre.y - (sin * width) / 2 - (cos * height) / 2;
  return Float64Array.of(cos, -sin, x, sin, cos, y, 0, 0, 1);
}

function vibration(blur: BlurCase, frameTime: number): { x: number; y: number } {
  const reach = blur.vibrationPixels ?? 0;
  return {
    x: reach * Math.sin(2 * Math.PI * 0.37 * frameTime + 1.1),
    y: reach * Math.cos(2 * Math.PI * 0.42 * frameTime),
  };
}

/**
 * A camera one unit above a plane, looking 50 degrees down, flying forward. The pinhole ray through pixel (x, y) is
 * (x - cx, (y - cy), f) turned by the pitch; it meets the plane where its downward part has grown to one unit.
 */
function overGround(blur: BlurCase, scene: LightPicture, travelledPixels: number): PictureToScene {
  const pitch = (50 * Math.PI) / 180;
  const [sin, cos] = [Math.sin(pitch), Math.cos(pitch)];
  const focal = 0.8 * blur.width;
  const [cx, cy] = [blur.width / 2, blur.height / 2];
  // At the picture's centre the ground is 1 / sin away; a step of one unit there moves the picture by f sin² pixels.
  const unitsTravelled = travelledPixels / (focal * sin * sin);
  const texelsPerUnit = 1.5 * focal * sin;
  // Downward part (y - cy) cos + f sin; forward part f cos - (y - cy) sin, both linear in the pixel.
  const down = [0, cos, focal * sin - cy * cos] as const;
  const forward = [0, -sin, focal * cos + cy * sin] as const;
  const x0 = scene.width / 2;
  const y0 = scene.height / 2 + texelsPerUnit / Math.tan(pitch);
  const map = new Float64Array(9);
  const sideways = [1, 0, -cx] as const;
  for (let i = 0; i < 3; i++) {
    map[i] = texelsPerUnit * sideways[i]! + x0 * down[i]!;
    map[3 + i] = -texelsPerUnit * (forward[i]! + unitsTravelled * down[i]!) + y0 * down[i]!;
    map[6 + i] = down[i]!;
  }
  return map;
}
