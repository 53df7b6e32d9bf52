import { displayText } from '../domain/displayText.ts';
import type { Problem } from '../domain/recording.ts';

/** A problem as two sentences: what is wrong, what to do. */
export function problemText({ message, hint }: Problem): string {
  return [message, hint]
    .filter((part) => part !== '')
    .map((part) => sentence(displayText(part)))
    .join(' ');
}

/** Ends a text like a sentence where it does not end like one yet. */
export function sentence(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

/** Said in every report. */
export const standingCautions: readonly string[] = [
  'Power the aircraft down before you touch a filter. Seat it without a gap, then let the gimbal go through its own check before take-off.',
  'A filter for the camera is no solar viewer: never look at the sun through it, not even through the strongest ND.',
  "Local flight rules and the maker's limits for aircraft and gimbal come first. Nothing said here overrides them.",
];
