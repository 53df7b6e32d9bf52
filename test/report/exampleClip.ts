import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import { exampleDocument } from './exampleDocument.ts';

/** The example's clip with a short shutter and two clipped stretches, with the facts that a test needs. */
export function exampleClip(changes: Partial<ReportedRecording['facts']> = {}): ReportedRecording {
  const short = exampleDocument.recordings[1];
  if (short === undefined) throw new Error('the example has lost its second recording');
  return { ...short, facts: { ...short.facts, ...changes } };
}

export function fact<T>(value: T): { readonly value: T; readonly source: string } {
  return { value, source: 'test' };
}

/** The same clip with a shutter that is right: only what is clipped is marked, and it is a part of the picture. */
export function clippedOnly(
  changes: Partial<ReportedRecording['facts']>,
  spans: readonly { readonly startSeconds: number; readonly endSeconds: number }[],
): ReportedRecording {
  const { track: _, ...clip } = exampleClip(changes);
  return {
    ...clip,
    shutter: { verdict: 'on', angleDegrees: 180, offsetStops: 0, basis: 'recorded', matters: 'yes' },
    picture: { ...clip.picture!, clippedSpans: spans.map((span) => ({ ...span, maxFraction: 0.1 })) },
    findings: clip.findings
      .filter(({ kind }) => kind === 'highlights-clipped')
      .map((finding) => ({ ...finding, weight: 'high' as const })),
  };
}
