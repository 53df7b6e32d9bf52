import type { Ceiling, FrameMeasure } from '../domain/measurement.ts';
import type { Facts } from '../domain/recording.ts';
import { measureClipping, nominalCeiling } from './clipping.ts';
import type { Frame, FrameGeometry } from './frames.ts';
import { planLevelMeter } from './level.ts';
import { agreedCeiling, pictureTop } from './observedCeiling.ts';
import type { PictureTop } from './observedCeiling.ts';
import { lumaWeights } from './signal.ts';

/** Measures the single pictures of one clip. */
export interface FrameMeter {
  readonly measure: (frame: Frame) => void;
  /** The pictures measured so far, judged by one ceiling for all of them. */
  readonly result: () => { readonly frames: readonly FrameMeasure[]; readonly ceiling: Ceiling };
}

const unreachable = 2;

/** Prepares measuring by what is known of the clip. Video is narrow where its range is unknown (BT.709, item 4.6). */
export function planFrameMeter(facts: Facts, geometry: FrameGeometry): FrameMeter {
  const range = facts.range?.value ?? 'narrow';
  const transfer = facts.transfer?.value;
  const weights = lumaWeights(transfer);
  const level = transfer && planLevelMeter({ transfer, range, weights }, geometry.bitDepth);
  const frames: FrameMeasure[] = [];
  const tops: PictureTop[] = [];

  const ceilingOf = (frame: Frame): Ceiling => {
    if (transfer !== 'pq') return nominalCeiling;
    const top = pictureTop(frame, range);
    tops.push(top);
    return { signal: top.piledUp ? agreedCeiling([top])! : unreachable, basis: 'observed' };
  };

  return {
    measure: (frame) => {
      const clipping = measureClipping(frame, { range, weights, ceiling: ceilingOf(frame) });
      const levelStops = level?.(frame);
      frames.push({
        atSeconds: frame.atSeconds,
        ...clipping,
        ...(levelStops === undefined ? {} : { levelStops }),
      });
    },
    result: () => {
      if (transfer !== 'pq') return { frames, ceiling: nominalCeiling };
      const signal = agreedCeiling(tops);
      return {
        frames: frames.map((frame, i) => (stopsAt(tops[i]!, signal) ? frame : unclipped(frame))),
        ceiling: signal === undefined ? { signal: 1, basis: 'nominal' } : { signal, basis: 'observed' },
      };
    },
  };
}

// A picture whose own pile lies below that of the clip shows a bright wall, not the end of the sensor.
function stopsAt(top: PictureTop, ceilingSignal: number | undefined): boolean {
  return ceilingSignal !== undefined && top.piledUp && top.signal >= ceilingSignal;
}

function unclipped({ atSeconds, crushedFraction, levelStops }: FrameMeasure): FrameMeasure {
  return {
    atSeconds,
    clippedFraction: 0,
    channelClippedFraction: 0,
    largestRegionFraction: 0,
    crushedFraction,
    ...(levelStops === undefined ? {} : { levelStops }),
  };
}
