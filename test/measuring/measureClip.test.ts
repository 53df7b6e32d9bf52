import { execFileSync } from 'node:child_process';
import { copyFileSync, existsSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { HalfturnError } from '../../src/domain/halfturnError.ts';
import type { Measurement } from '../../src/domain/measurement.ts';
import type { FactValues } from '../../src/domain/recording.ts';
import { measureClip } from '../../src/measuring/measureClip.ts';
import { locatePrograms } from '../../src/programs/locate.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { everything } from '../everything.ts';
import {
  blankFrame,
  encodeClip,
  exposed,
  factsOf,
  ffmpegs,
  losslessH264,
  runFfmpeg,
  temporaryFolder,
  type RawFrame,
} from './encodeClip.ts';
import { renderLuma, waveTexture } from './texture.ts';

const programs = await ffmpegs();
const framesPerSecond = 25;
const shape = { width: 64, height: 48, bitDepth: 8 } as const;

const plainFacts = { width: 64, height: 48, bitDepth: 8, transfer: 'bt709', range: 'narrow' } as const;

async function measure(
  file: string,
  facts: Partial<FactValues>,
  options: Pick<Parameters<typeof measureClip>[0], 'program'> & Partial<Parameters<typeof measureClip>[0]>,
): Promise<Measurement> {
  const media = await openMedia(file);
  try {
    return await measureClip({
      media,
      facts: factsOf({
        ...plainFacts,
        ...exposed,
        playbackFrameRate: { numerator: framesPerSecond, denominator: 1 },
        ...facts,
      }),
      mode: 'sampled',
      clippedFlagFraction: 0.01,
      ...options,
    });
  } finally {
    await media.close();
  }
}

/** A quarter of the picture is white from `from` to `to`; the rest is grey. */
function* litBetween(seconds: number, from: number, to: number): Generator<RawFrame> {
  for (let i = 0; i < seconds * framesPerSecond; i++) {
    const frame = blankFrame(shape, 106);
    const atSeconds = i / framesPerSecond;
    if (atSeconds >= from && atSeconds < to) frame.fill(235, 0, (shape.width * shape.height) / 4);
    yield frame;
  }
}

describe.each(everything ? programs : programs.slice(0, 1))(
  'with ffmpeg $version ($origin)',
  { timeout: 60_000 },
  (program) => {
    test.each([
      ['a short clip', 8, 3.2, 5.6, 25],
      ['a long clip with a key frame each second', 120, 40, 71.3, 25],
      ['a long clip with one key frame', 120, 40, 71.3, 5000],
    ])('the clipped span of %s is found to within one step', async (_, seconds, from, to, keyInterval) => {
      const codec = [...losslessH264, '-g', String(keyInterval), '-sc_threshold', '0', '-bf', '2'];
      const file = await encodeClip(shape, litBetween(seconds, from, to), { codec, extension: 'mp4' });
      const found = await measure(file, { durationSeconds: seconds }, { program });
      expect(found.endedEarly).toBeUndefined();
      expect(found.framesMeasured).toBeGreaterThanOrEqual(24);
      expect(found.clippedSpans).toHaveLength(1);
      const [span] = found.clippedSpans;
      expect(Math.abs(span!.startSeconds - from)).toBeLessThanOrEqual(found.samplingStepSeconds!);
      expect(Math.abs(span!.endSeconds - to)).toBeLessThanOrEqual(found.samplingStepSeconds!);
      expect(span!.maxFraction).toBe(0.25);
      expect(found.clippedFraction.max).toBe(0.25);
      expect(found.levelStops!.low).toBeCloseTo(0, 1);
      const times = found.frames.map(({ atSeconds }) => atSeconds);
      expect(times).toEqual([...new Set(times)].sort((a, b) => a - b));
    });

    test.each(['mp4', 'mkv'])('each step of a long clip has its frame once: %s', async (extension) => {
      const codec = [...losslessH264, '-g', '25', '-sc_threshold', '0', '-bf', '2'];
      const file = await encodeClip(shape, litBetween(30, 0, 15), { codec, extension });
      const { frames, lookedCloserBecause } = await measure(file, { durationSeconds: 30 }, { program });
      // 24 steps of 1.25 s with a key frame each second. Without a table of pictures each is jumped to.
      const expected = Array.from({ length: 24 }, (__, step) =>
        extension === 'mp4' ? Math.ceil(step * 1.25) : Math.floor((step + 0.9) * 1.25),
      );
      expect(frames.map(({ atSeconds }) => Math.round(1000 * atSeconds) / 1000)).toEqual(expected);
      expect(lookedCloserBecause).toEqual([extension === 'mp4' ? 'pictures-differ' : 'no-short-cut']);
    });

    test('a first look decides a clip that is clearly well', async () => {
      const codec = [...losslessH264, '-g', '25', '-sc_threshold', '0', '-bf', '2'];
      const file = await encodeClip(shape, litBetween(30, 40, 50), { codec, extension: 'mp4' });
      const { frames, lookedCloserBecause } = await measure(file, { durationSeconds: 30 }, { program });
      // Eight steps of 3.75 s with a key frame each second.
      expect(frames.map(({ atSeconds }) => atSeconds)).toEqual([0, 4, 8, 12, 15, 19, 23, 27]);
      expect(lookedCloserBecause).toBeUndefined();
    });

    test('the edges of a span in a long clip are looked for again, and how exact they are is said', async () => {
      const codec = [...losslessH264, '-g', '25', '-sc_threshold', '0', '-bf', '2'];
      const file = await encodeClip(shape, litBetween(120, 40, 71.3), { codec, extension: 'mp4' });
      const found = await measure(file, { durationSeconds: 120 }, { program });
      const [span] = found.clippedSpans;
      expect(span!.startToleranceSeconds).toBeLessThan(0.1);
      expect(span!.endToleranceSeconds).toBeLessThan(0.1);
      expect(Math.abs(span!.startSeconds - 40)).toBeLessThanOrEqual(span!.startToleranceSeconds! + 0.001);
      expect(Math.abs(span!.endSeconds - 71.3)).toBeLessThanOrEqual(span!.endToleranceSeconds! + 0.041);
      expect(found.framesMeasured).toBeLessThan(40);
    });

    test('a moment that the track marks as an extreme is looked at', async () => {
      const codec = [...losslessH264, '-g', '25', '-sc_threshold', '0', '-bf', '2'];
      const file = await encodeClip(shape, litBetween(150, 52.2, 52.6), { codec, extension: 'mp4' });
      const facts = { durationSeconds: 150 };
      expect((await measure(file, facts, { program })).clippedFraction.max).toBe(0);
      const sample = (startSeconds: number, endSeconds: number, meteredOffsetStops: number) => ({
        startSeconds,
        endSeconds,
        meteredOffsetStops,
      });
      const samples = [sample(0, 52.3, 0), sample(52.3, 52.5, 1.7), sample(52.5, 150, 0)];
      const found = await measure(file, facts, { program, track: { source: 'test', samples } });
      expect(found.clippedFraction.max).toBe(0.25);
      expect(found.clippedSpans).toHaveLength(1);
    });

    test('every frame is looked at where that is asked for', async () => {
      const file = await encodeClip(shape, litBetween(3, 1, 2));
      const found = await measure(file, { durationSeconds: 3 }, { program, mode: 'every' });
      expect(found.framesMeasured).toBe(75);
      expect(found.frames.filter(({ clippedFraction }) => clippedFraction === 0.25)).toHaveLength(25);
      expect(found.clippedFraction).toEqual({ max: 0.25, median: 0 });
    });

    test('a clip whose length is not known is measured too', async () => {
      const file = await encodeClip(shape, litBetween(3, 0, 3));
      const found = await measure(file, {}, { program });
      expect(found.framesMeasured).toBe(6);
      expect(found.clippedFraction.median).toBe(0.25);
    });

    test.each([
      ['lossless', losslessH264],
      ['lossy', ['-c:v', 'libx264', '-crf', '23', '-bf', '2', '-g', '25']],
    ] as const)('the motion of a %s pan is found within 0.1 px', async (_, codec) => {
      const size = { width: 320, height: 192, bitDepth: 8 } as const;
      const texture = waveTexture(11, 20);
      const frames = Array.from({ length: 26 }, (__, i) => {
        const frame = blankFrame(size, 0);
        frame.set(renderLuma(texture, { ...size, shift: { x: -3.3 * i, y: 1.1 * i } }).codes);
        return frame;
      });
      const file = await encodeClip(size, frames, { codec, extension: 'mp4' });
      const found = await measure(file, { ...size, durationSeconds: 26 / 25 }, { program });
      const truth = Math.hypot(3.3, 1.1);
      expect(Math.abs(found.motionPixelsPerFrame!.median - truth)).toBeLessThan(0.1);
      expect(Math.abs(found.motionPixelsPerFrame!.high - truth)).toBeLessThan(0.3);
    });

    test('a clip that stands still moves by nothing, and a flat one has no motion', async () => {
      const size = { width: 192, height: 160, bitDepth: 8 } as const;
      const frame = blankFrame(size, 0);
      frame.set(renderLuma(waveTexture(2), size).codes);
      const still = await encodeClip(
        size,
        Array.from({ length: 25 }, () => frame),
      );
      expect(
        (await measure(still, { ...size, durationSeconds: 1 }, { program })).motionPixelsPerFrame,
      ).toEqual({ median: expect.closeTo(0, 3), high: expect.closeTo(0, 3) });
      const flat = await encodeClip(shape, litBetween(1, 9, 9));
      expect((await measure(flat, { durationSeconds: 1 }, { program })).motionPixelsPerFrame).toBeUndefined();
    });

    test('a clip that was cut off keeps what was measured', async () => {
      const codec = [...losslessH264, '-g', '25', '-movflags', '+faststart'];
      const size = { width: 320, height: 192, bitDepth: 8 } as const;
      const texture = waveTexture(4, 8);
      const frames = Array.from({ length: 250 }, (_, i) => {
        const frame = blankFrame(size, 0);
        if (i % 25 === 0) frame.set(renderLuma(texture, { ...size, shift: { x: i, y: 0 } }).codes);
        return frame;
      });
      const file = await encodeClip(size, frames, { codec, extension: 'mp4' });
      const cut = path.join(temporaryFolder(), 'cut.mp4');
      copyFileSync(file, cut);
      truncateSync(cut, Math.round(statSync(file).size * 0.55));
      const found = await measure(cut, { ...size, durationSeconds: 10 }, { program });
      expect(found.framesMeasured).toBeGreaterThanOrEqual(8);
      expect(found.endedEarly!.atSeconds).toBeGreaterThan(3);
      expect(found.endedEarly!.atSeconds).toBeLessThan(8);
      expect(found.endedEarly!.reason).toMatch(/\w/);
      expect(found.frames.at(-1)!.atSeconds).toBeLessThanOrEqual(found.endedEarly!.atSeconds);
    });

    test('a clip whose frames come at an uneven rate, the last one for long, is read to its end', async () => {
      const even = await encodeClip(shape, litBetween(2.4, 1, 2), { codec: losslessH264, extension: 'mp4' });
      const uneven = path.join(temporaryFolder(), 'uneven.mp4');
      // Bursts of frames 1 ms apart and a rest between them: raw video knows no such ticks, and ffmpeg says so.
      const bursts = "setpts='(floor(N/6)*0.6+mod(N,6)*0.001)/TB'";
      const exact = ['-vsync', 'passthrough', '-enc_time_base', '1/1000', '-video_track_timescale', '1000'];
      runFfmpeg('-i', even, '-vf', bursts, ...exact, ...losslessH264, '-bf', '0', uneven);
      const facts = { playbackFrameRate: { numerator: 60, denominator: 6 }, frameCount: 60 };
      const found = await measure(uneven, { ...facts, durationSeconds: 8 }, { program });
      expect(found.frames.at(-1)!.atSeconds).toBeGreaterThan(5);
      expect(found.endedEarly).toBeUndefined();
    });

    test('a clip that was cut off between two pictures says until when it was read', async () => {
      const codec = [...losslessH264, '-g', '25', '-bf', '0', '-movflags', '+faststart'];
      const file = await encodeClip(shape, litBetween(6, 1, 2), { codec, extension: 'mp4' });
      const { ffprobe } = await locatePrograms();
      const packets = execFileSync(
        ffprobe.path,
        [
          '-v',
          'error',
          '-select_streams',
          'v',
          '-show_entries',
          'packet=pts_time,pos',
          '-of',
          'csv=p=0',
          file,
        ],
        { encoding: 'utf8' },
      );
      const [, position] = packets
        .split('\n')
        .map((line) => line.split(',').map(Number))
        .find(([at]) => at! >= 3.4)!;
      for (const frameCount of [{ frameCount: 150 }, {}]) {
        const cut = path.join(temporaryFolder(), 'cut.mp4');
        copyFileSync(file, cut);
        truncateSync(cut, position!);
        const found = await measure(cut, { ...frameCount, durationSeconds: 6 }, { program });
        expect(found.endedEarly!.atSeconds).toBeCloseTo(3.36, 1);
        expect(found.endedEarly!.reason).toMatch(/\w/);
      }
    });

    test('what is no clip at all is refused with a sentence', async () => {
      const file = path.join(temporaryFolder(), 'notes.mp4');
      writeFileSync(file, 'nothing to see here\n'.repeat(100));
      await expect(measure(file, { durationSeconds: 3 }, { program })).rejects.toThrow(HalfturnError);
      await expect(measure(file, { durationSeconds: 300 }, { program })).rejects.toThrow('Not one picture');
    });

    test('a turned clip is measured as it is stored', async () => {
      const file = await encodeClip(shape, litBetween(1, 0, 1), { codec: losslessH264, extension: 'mp4' });
      const turned = path.join(temporaryFolder(), 'turned.mp4');
      runFfmpeg('-i', file, '-c', 'copy', '-metadata:s:v', 'rotate=90', turned);
      const facts = { width: 48, height: 64, rotationDegrees: 90, durationSeconds: 1 };
      const found = await measure(turned, facts, { program });
      expect(found.clippedFraction.max).toBe(0.25);
    });

    test('without a transfer function there is no level', async () => {
      const file = await encodeClip(shape, litBetween(1, 0, 1));
      const media = await openMedia(file);
      const facts = factsOf({ ...exposed, width: 64, height: 48, durationSeconds: 1 });
      const found = await measureClip({ program, media, facts, mode: 'sampled', clippedFlagFraction: 0.01 });
      await media.close();
      expect(found.levelStops).toBeUndefined();
      expect(found.clippedFraction.max).toBe(0.25);
    });

    test('highlights of PQ count as lost where they pile up, and not where they thin out', async () => {
      const deep = { width: 64, height: 48, bitDepth: 10 } as const;
      const ramp = (top: number, piled: boolean): RawFrame => {
        const frame = blankFrame(deep, 400);
        // The upper half rises evenly to the top; a tenth of the picture may lie on it.
        for (let i = 0; i < 1536; i++) frame[i] = 400 + Math.floor(((top - 400) * i) / 1536);
        if (piled) frame.fill(top, 1600, 1907);
        return frame;
      };
      const pq = { bitDepth: 10, transfer: 'pq', durationSeconds: 1 } as const;
      const cut = await encodeClip(
        deep,
        Array.from({ length: 25 }, () => ramp(723, true)),
      );
      const found = await measure(cut, pq, { program });
      expect(found.ceiling.basis).toBe('observed');
      expect(Math.abs(found.ceiling.signal - (723 - 64) / 876)).toBeLessThan(0.02);
      expect(Math.abs(found.clippedFraction.max - 0.1)).toBeLessThan(0.03);
      const whole = await encodeClip(
        deep,
        Array.from({ length: 25 }, () => ramp(723, false)),
      );
      expect((await measure(whole, pq, { program })).clippedFraction.max).toBe(0);
    });
  },
);

// Real footage at a variable rate: 63 frames, the last of them shown for a second and a half (as ffprobe counts them).
const variableRate = path.resolve(import.meta.dirname, '../../../shared/real-media/vfr-89-percent.mp4');

test.skipIf(!existsSync(variableRate))(
  'a real clip of a variable rate is read to its end (needs real media)',
  async () => {
    const size = { width: 3026, height: 1386, bitDepth: 8 } as const;
    const facts = { ...size, durationSeconds: 8.725503, frameCount: 63 };
    const rate = { playbackFrameRate: { numerator: 3628800, denominator: 502589 } };
    for (const known of [facts, { ...size, durationSeconds: facts.durationSeconds }])
      expect(
        (await measure(variableRate, { ...known, ...rate }, { program: programs[0]! })).endedEarly,
      ).toBeUndefined();
  },
);

// Limits: 98% of the nominal peak and half a percent above black, of 16 to 235 and of 0 to 255 (BT.709-6, item 4.6;
// BT.2100-2, table 9). The second pattern is said to be narrow and is cut off at 0 and 255, as its codes show.
test.each([
  ['within 16 to 235', 'narrow', 231, 17, ",lutyuv=y='clip(val,16,235)'"],
  ['from 0 to 255 in a file that says narrow', 'full', 250, 1, ''],
] as const)(
  'clipped and crushed fractions agree with what ffmpeg counts on the same frames: codes %s',
  async (_, range, limit, floor, cut) => {
    const size = { width: 320, height: 240, bitDepth: 8 } as const;
    const file = path.join(temporaryFolder(), 'pattern.mkv');
    const noisy = `noise=alls=60:allf=t,eq=contrast=1.6:brightness=0.1${cut}`;
    runFfmpeg(
      '-f',
      'lavfi',
      '-i',
      `testsrc2=s=320x240:r=25:d=1,format=yuv420p,${noisy}`,
      '-c:v',
      'ffv1',
      '-g',
      '1',
      file,
    );
    // lutyuv makes counted pixels 255 and all others 0; signalstats gives their mean.
    const shares = (condition: string): readonly number[] =>
      [
        ...runFfmpeg(
          '-i',
          file,
          '-vf',
          `lutyuv=y='255*${condition}',signalstats,metadata=print:file=-`,
          '-f',
          'null',
          '-',
        ).matchAll(/YAVG=([\d.]+)/g),
      ].map(([, mean]) => Number(mean) / 255);
    const found = await measure(
      file,
      { ...size, durationSeconds: 1 },
      { program: programs[0]!, mode: 'every' },
    );
    const clipped = shares(`gte(val,${limit})`);
    const crushed = shares(`lte(val,${floor})`);
    expect(clipped).toHaveLength(25);
    expect(Math.max(...clipped)).toBeGreaterThan(0.01);
    expect(found.framesMeasured).toBe(25);
    expect(found.rangeInUse!.name).toBe(range);
    found.frames.forEach((frame, i) => {
      expect(Math.abs(frame.clippedFraction - clipped[i]!)).toBeLessThan(0.002);
      expect(Math.abs(frame.crushedFraction - crushed[i]!)).toBeLessThan(0.002);
    });
  },
);
