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
    if (blur.move === 'flight') return overGround(blur, scene, { travelledPixels: speed * time, frameTime });
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
 * A camera one unit above a plane, looking down at a pitch (50 degrees unless told), flying towards its heading, 0
 * forward, and circling what it looks at. The pinhole ray through pixel (x, y) is (x - cx, (y - cy), f) turned by the
 * pitch; it meets the plane where its downward part has grown to one unit.
 */
function overGround(
  blur: BlurCase,
  scene: LightPicture,
  { travelledPixels, frameTime }: Travelled,
): PictureToScene {
  const { pitchDegrees = 50, headingDegrees = 0, turnDegreesPerFrame = 0 } = blur;
  const pitch = radians(pitchDegrees);
  const [sin, cos] = [Math.sin(pitch), Math.cos(pitch)];
  const focal = 0.8 * blur.width;
  const shake = vibration(blur, frameTime);
  const [cx, cy] = [blur.width / 2 - shake.x, blur.height / 2 - shake.y];
  // At the picture's centre the ground is 1 / sin away; a step of one unit forward moves the picture by f sin² pixels
  // there, a step to the side by f sin.
  const heading = radians(headingDegrees);
  const pixelsPerUnit = focal * sin * Math.hypot(Math.sin(heading), sin * Math.cos(heading));
  const unitsTravelled = travelledPixels / pixelsPerUnit;
  const texelsPerUnit = 1.5 * focal * sin;
  // Downward part (y - cy) cos + f sin; forward part f cos - (y - cy) sin, both linear in the pixel.
  const down = [0, cos, focal * sin - cy * cos] as const;
  const ahead = [0, -sin, focal * cos + cy * sin] as const;
  const sideways = [1, 0, -cx] as const;
  const turn = radians(turnDegreesPerFrame * frameTime);
  const middle = 1 / Math.tan(pitch);
  const map = new Float64Array(9);
  for (let i = 0; i < 3; i++) {
    const right = Math.cos(turn) * sideways[i]! + Math.sin(turn) * (ahead[i]! - middle * down[i]!);
    const forward = Math.cos(turn) * (ahead[i]! - middle * down[i]!) - Math.sin(turn) * sideways[i]!;
    const [x, y] = [unitsTravelled * Math.sin(heading), unitsTravelled * Math.cos(heading)];
    map[i] = texelsPerUnit * (right + x * down[i]!) + (scene.width / 2) * down[i]!;
    map[3 + i] = (scene.height / 2) * down[i]! - texelsPerUnit * (forward + y * down[i]!);
    map[6 + i] = down[i]!;
  }
  return map;
}

interface Travelled {
  readonly travelledPixels: number;
  readonly frameTime: number;
}

function radians(degrees: number): number {
  return (degrees * Math.PI) / 180;
}
