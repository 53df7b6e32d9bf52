import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { spawnSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { buildPlantedCard } from '../../sample-media-generator/planted/build.ts';
import { audit } from '../../src/audit/audit.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import { randomNumbers } from '../measuring/texture.ts';
import { groundPicture } from './benchClips.ts';
import { atSize, folderVariable, reportRatio } from './ratios.ts';

// tsx test/bench/lookBench.ts
//
// Whether a first look says the same of a clip as a full one does: the planted card, the sample card, and made clips whose
// light, speed and sky are drawn at random, over ground and over the stills of `npm run bench -- --folder`.

const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-bench-'));
const random = randomNumbers(25);
const between = (low: number, high: number): number => low + (high - low) * random();

/** Small and plain, for a picture that is shown for long is decoded for each frame. */
function smaller(picture: string, at: number): string {
  const file = path.join(folder, `picture-${at}.ppm`);
  const { status, stderr } = spawnSync(
    'ffmpeg',
    ['-v', 'error', '-i', picture, '-vf', 'scale=1600:-2', file],
    {
      encoding: 'utf8',
    },
  );
  if (status !== 0) throw new Error(stderr);
  return file;
}

/** Pans of 480 x 270 with light that stays, drifts or swings. */
function madeClips(count: number, pictures: readonly string[]): string {
  const dump = path.join(folder, 'made');
  mkdirSync(dump);
  const sources = pictures.map(smaller);
  for (let at = 0; at < count; at++) {
    const seconds = Math.round(between(6, 30));
    const picture = sources[at % sources.length]!;
    const zoom = between(0.45, 0.95);
    const [contrast, offset] = [between(0.7, 1.3), between(-0.2, 0.25)];
    const [drift, swing] = [random() < 0.3 ? between(-0.2, 0.2) : 0, random() < 0.2 ? between(0, 0.1) : 0];
    const offsets = `${offset.toFixed(3)}+${drift.toFixed(3)}*t/${seconds}+${swing.toFixed(3)}*sin(t/2)`;
    const shown = `crop=w='${zoom}*min(iw,ih*16/9)':h='${zoom}*min(iw,ih*16/9)*9/16':x='(iw-ow)*min(1,t*${between(0, 0.15).toFixed(4)})':y='(ih-oh)*${random().toFixed(3)}',scale=480:270`;
    const lit = `eq=contrast=${contrast.toFixed(3)}:brightness='${offsets}':eval=frame,lutyuv=y='clip(val,16,235)'`;
    const coding = [
      '-c:v',
      'libx264',
      '-preset',
      'ultrafast',
      '-crf',
      '16',
      '-g',
      '25',
      '-sc_threshold',
      '0',
    ];
    const colour = [
      '-color_range',
      'tv',
      '-colorspace',
      'bt709',
      '-color_trc',
      'bt709',
      '-color_primaries',
      'bt709',
    ];
    const file = path.join(dump, `CLIP${String(at).padStart(4, '0')}.MP4`);
    const filters = `${shown},format=yuv420p,${lit},noise=alls=3:allf=t,setparams=range=tv:color_trc=bt709:colorspace=bt709`;
    const input = ['-loop', '1', '-framerate', '25', '-t', String(seconds), '-i', picture];
    const { status, stderr } = spawnSync(
      'ffmpeg',
      ['-v', 'error', ...input, '-vf', filters, ...colour, ...coding, file],
      { encoding: 'utf8' },
    );
    if (status !== 0) throw new Error(stderr);
    // Off the target for some, so that motion decides whether it matters.
    const shutter = Math.round(between(30, 400));
    writeFileSync(
      file.replace(/MP4$/, 'SRT'),
      `1\n00:00:00,000 --> 00:59:59,000\nISO 100, Shutter speed 1/${shutter} s, Aperture f/2.8\n`,
    );
  }
  return dump;
}

interface Compared {
  readonly clips: number;
  readonly decided: number;
  readonly differences: readonly string[];
}

async function compare(dump: string): Promise<Compared> {
  const options = { generatedAt: '2026-06-02T18:00:00Z' };
  const first = await audit(dump, { ...options, measure: 'sampled' });
  // A way of looking that only this bench asks for.
  const full = await audit(dump, { ...options, measure: 'full' as 'sampled' });
  const clips = first.recordings.filter(({ kind }) => kind === 'clip');
  const differences = clips.flatMap((clip) => {
    const other = full.recordings.find((each) => each.path === clip.path)!;
    return differ(clip, other).map(
      (what) => `${clip.path} (${clip.picture?.framesMeasured} frames): ${what}`,
    );
  });
  return {
    clips: clips.length,
    decided: clips.filter(({ picture }) => picture !== undefined && picture.lookedCloserBecause === undefined)
      .length,
    differences,
  };
}

/** Beyond what is promised of shares, level and motion; and what is found. */
function differ(a: ReportedRecording, b: ReportedRecording): string[] {
  const kinds = (recording: ReportedRecording) =>
    recording.findings
      .map(({ kind, weight }) => `${kind} (${weight})`)
      .sort()
      .join(', ');
  const off = (name: string, one = 0, other = 0, tolerance = 0) =>
    Math.abs(one - other) > tolerance ? [`${name} ${one.toFixed(4)} against ${other.toFixed(4)}`] : [];
  const [near, far] = [a.picture, b.picture];
  const motion = far?.motionPixelsPerFrame?.median ?? 0;
  return [
    ...(kinds(a) === kinds(b) ? [] : [`VERDICT ${kinds(a) || 'nothing'} against ${kinds(b) || 'nothing'}`]),
    ...off('clipped share', near?.clippedFraction.max, far?.clippedFraction.max, 0.005),
    ...off('level', near?.levelStops?.median, far?.levelStops?.median, 0.1),
    ...off('motion', near?.motionPixelsPerFrame?.median, motion, Math.max(0.3, 0.1 * motion)),
  ];
}

async function main(): Promise<void> {
  const photographs = process.env[folderVariable];
  const stills =
    photographs === undefined
      ? []
      : spawnSync('find', [photographs, '-iname', '*.jp*g', '-size', '+500k'], { encoding: 'utf8' })
          .stdout.trim()
          .split('\n')
          .slice(0, 12);
  const truth = path.join(folder, 'planted');
  mkdirSync(truth);
  await buildPlantedCard(truth);
  const dumps = {
    'the planted card': path.join(truth, 'card'),
    'the sample card': path.resolve(import.meta.dirname, '../../sample-card/card'),
    'made clips': madeClips(atSize({ quick: 20, usual: 60, all: 400 }), [
      groundPicture(folder, 'bright'),
      groundPicture(folder, 'well'),
      ...stills,
    ]),
  };
  for (const [what, dump] of Object.entries(dumps)) {
    const { clips, decided, differences } = await compare(dump);
    for (const difference of differences) console.log(`  ${difference}`);
    const verdicts = differences.filter((each) => each.includes('VERDICT')).length;
    reportRatio({
      what: `${what}: clips of which a first look and a full one find the same`,
      measured: 1 - verdicts / clips,
      atLeast: 0.99,
      note: `${clips} clips, ${decided} decided by the first look, ${differences.length - verdicts} numbers beyond the promised tolerance`,
    });
  }
}

try {
  await main();
} finally {
  rmSync(folder, { recursive: true, force: true });
}
