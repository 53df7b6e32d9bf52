import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { settingsStops } from '../../src/domain/exposure.ts';
import { measureStill } from '../../src/measuring/measureStill.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { mergedFacts, readStillFile } from '../reading/readings.ts';

/** A picture of a bracket: what it got of the light, and what of it burnt. */
interface BracketFrame {
  readonly file: string;
  /** Exposure from any origin, in stops; + = brighter. */
  readonly exposureStops: number;
  readonly clippedFraction: number;
  readonly levelStops: number;
  readonly isDisc: boolean;
}

interface BracketScene {
  readonly name: string;
  readonly camera: string;
  /** From the darkest to the brightest. */
  readonly frames: readonly BracketFrame[];
}

/** A frame that burns, with how many stops less would have held it. */
export interface OverexposedFrame {
  readonly scene: string;
  readonly camera: string;
  readonly file: string;
  readonly exposureStops: number;
  readonly clippedFraction: number;
  readonly overStops: number;
}

export const acceptedFraction = 0.01;

/** Between two frames the share is interpolated; farther apart than this it tells too little. */
const longestStepStops = 2.1;

/** Nobody exposes by more too much by mistake: such frames are there to show the shadows. */
const mostOverStops = 6;

/** A frame that is darker than the one before it by more was edited, or the light changed. */
const unrestStops = 0.1;

const stillName = /\.(jpe?g|png|tiff?|webp)$/i;

/**
 * The scenes of a folder: one subfolder each, of frames that differ in shutter or ISO alone, by their EXIF data, or by a
 * file `exposures.tsv` of lines "name, tab, stops" beside them. Others are left out, with the reason on the terminal.
 */
export async function bracketScenes(folder: string): Promise<readonly BracketScene[]> {
  const names = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory() || entry.isSymbolicLink())
    .map(({ name }) => name)
    .sort();
  const scenes: BracketScene[] = [];
  for (const name of names) {
    const scene = await bracketScene(path.join(folder, name), name);
    if (typeof scene === 'string') console.log(`${name}: left out, ${scene}`);
    else scenes.push(scene);
  }
  return scenes;
}

async function bracketScene(folder: string, name: string): Promise<BracketScene | string> {
  const listed = exposuresIn(folder);
  const frames: BracketFrame[] = [];
  const apertures = new Set<number>();
  let camera = name;
  for (const file of readdirSync(folder).filter((entry) => stillName.test(entry))) {
    const read = await readFrame(path.join(folder, file), listed?.get(file)).catch(() => undefined);
    if (read === undefined) continue;
    if (read.fNumber !== undefined) apertures.add(read.fNumber);
    camera = read.camera ?? camera;
    frames.push({ ...read.frame, file });
  }
  frames.sort((a, b) => a.exposureStops - b.exposureStops);
  if (frames.length < 3) return 'fewer than three frames with an exposure';
  if (listed === undefined && apertures.size > 1) return 'the aperture moves';
  const falls = frames.some(
    ({ levelStops }, at) => at > 0 && levelStops < frames[at - 1]!.levelStops - unrestStops,
  );
  return falls ? 'a longer exposure is darker' : { name, camera, frames };
}

function exposuresIn(folder: string): ReadonlyMap<string, number> | undefined {
  const file = path.join(folder, 'exposures.tsv');
  if (!existsSync(file)) return undefined;
  const lines = readFileSync(file, 'utf8').trim().split('\n');
  return new Map(lines.map((line) => [line.split('\t')[0]!, Number(line.split('\t')[1])]));
}

async function readFrame(file: string, listedStops: number | undefined) {
  const facts = mergedFacts((await readStillFile(file)).sightings);
  const { exposureSeconds, iso, fNumber, camera } = facts;
  const recordedStops =
    exposureSeconds && settingsStops({ exposureSeconds: exposureSeconds.value, iso: iso?.value });
  const exposureStops = listedStops ?? recordedStops;
  if (exposureStops === undefined) return undefined;
  const media = await openMedia(file);
  try {
    const [frame] = (await measureStill(media, facts)).frames;
    if (frame?.levelStops === undefined) return undefined;
    const { clippedFraction, levelStops, clippedShape } = frame;
    return {
      camera: camera?.value,
      fNumber: fNumber?.value,
      frame: { exposureStops, clippedFraction, levelStops, isDisc: clippedShape === 'disc' },
    };
  } finally {
    await media.close();
  }
}

/** The frames of a scene that burn, each with the step down to where the accepted share is left. */
export function overexposedFrames({ name, camera, frames }: BracketScene): readonly OverexposedFrame[] {
  return frames.flatMap((frame, at) => {
    const { file, exposureStops, clippedFraction, isDisc } = frame;
    if (clippedFraction <= acceptedFraction || isDisc) return [];
    const heldAt = heldStops(frames.slice(0, at + 1));
    const overStops = heldAt === undefined ? undefined : exposureStops - heldAt;
    if (overStops === undefined || overStops > mostOverStops) return [];
    return [{ scene: name, camera, file, exposureStops, clippedFraction, overStops }];
  });
}

/** The exposure at which the share that burns is the accepted one, by its logarithm between the frames to either side. */
function heldStops(frames: readonly BracketFrame[]): number | undefined {
  const at = frames.findLastIndex(({ clippedFraction }) => clippedFraction <= acceptedFraction);
  const [holds, burns] = [frames[at], frames[at + 1]];
  if (holds === undefined || burns === undefined) return undefined;
  const step = burns.exposureStops - holds.exposureStops;
  if (step > longestStepStops) return undefined;
  const share = (frame: BracketFrame): number => Math.log(Math.max(frame.clippedFraction, 1e-5));
  const part = (Math.log(acceptedFraction) - share(holds)) / (share(burns) - share(holds));
  return holds.exposureStops + part * step;
}
