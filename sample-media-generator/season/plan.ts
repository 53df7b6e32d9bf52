import type { SkyName } from '../pilots/daylight.ts';
import type { Fitting } from './fitting.ts';

/** What the camera looks at, against the sun: away from it, across it, towards it. */
export type Facing = 'away' | 'across' | 'toward';

/** Recordings that follow one another behind one filter. */
export interface Leg {
  /** Minutes after the start of the flight. */
  readonly minute: number;
  readonly clips: number;
  readonly stills?: number;
  readonly facing: Facing;
  readonly framesPerSecond: 25 | 50;
  /** What was on the lens. */
  readonly fitted: Fitting;
  /** What the pilot writes down, where that is not what was on the lens. */
  readonly noted?: Fitting;
}

export interface FlightPlan {
  /** Folder of the copied card. */
  readonly folder: string;
  readonly place: string;
  /** Local time of the invented region. */
  readonly startsAt: string;
  readonly sky: SkyName;
  /** What happens, in a sentence for the tour. */
  readonly story: string;
  readonly legs: readonly Leg[];
  readonly mishap?: 'interrupted-copy' | 'audited-twice';
}

/** Eight hours behind UTC, as the sun has it there. */
export const OFFSET = '-08:00';

/** An invented stretch of open sea. */
export const PLACES: Readonly<Record<string, { readonly latitude: number; readonly longitude: number }>> = {
  'Long Shoal': { latitude: -47.2, longitude: -126.7 },
  'Kettle Bank': { latitude: -47.62, longitude: -126.15 },
  'Far Reef': { latitude: -46.85, longitude: -127.3 },
};

const away = { facing: 'away', framesPerSecond: 25 } as const;
const across = { facing: 'across', framesPerSecond: 25 } as const;
const toward = { facing: 'toward', framesPerSecond: 25 } as const;

export const FLIGHTS: readonly FlightPlan[] = [
  {
    folder: '01-long-shoal',
    place: 'Long Shoal',
    startsAt: '2026-01-10T13:10',
    sky: 'clear',
    story:
      'Noon under a clear sky. The newcomer does not trust a plan that rests on nothing and leaves every filter in its case.',
    legs: [{ minute: 0, clips: 4, stills: 2, ...away, fitted: 'none' }],
  },
  {
    folder: '02-long-shoal',
    place: 'Long Shoal',
    startsAt: '2026-01-14T17:40',
    sky: 'clear',
    story: 'Afternoon at the same place; then the same view again, with ND32 and without.',
    legs: [
      { minute: 0, clips: 3, stills: 1, ...away, fitted: 'pick' },
      { minute: 6, clips: 3, ...away, fitted: 'swap' },
    ],
  },
  {
    folder: '03-kettle-bank',
    place: 'Kettle Bank',
    startsAt: '2026-01-22T09:30',
    sky: 'haze',
    story: 'A hazy morning over bright sand, across the sun. The same view follows with ND32 and without.',
    legs: [
      { minute: 0, clips: 3, ...across, fitted: 'pick' },
      { minute: 6, clips: 3, stills: 1, ...across, fitted: 'swap' },
    ],
  },
  {
    folder: '04-long-shoal',
    place: 'Long Shoal',
    startsAt: '2026-01-30T18:50',
    sky: 'haze',
    story:
      'An hour before sunset, with the sun behind the pilot; then against it, for which the story takes ND4.',
    legs: [
      { minute: 0, clips: 3, stills: 1, ...away, fitted: 'pick' },
      { minute: 14, clips: 2, ...toward, fitted: 'ND4' },
    ],
  },
  {
    folder: '05-far-reef',
    place: 'Far Reef',
    startsAt: '2026-02-05T12:20',
    sky: 'overcast',
    story: 'Overcast noon; then two clips at 50 frames a second, for which the story takes ND8.',
    legs: [
      { minute: 0, clips: 3, stills: 1, ...away, fitted: 'pick' },
      { minute: 5, clips: 2, ...away, framesPerSecond: 50, fitted: 'ND8' },
    ],
  },
  {
    folder: '06-kettle-bank',
    place: 'Kettle Bank',
    startsAt: '2026-02-12T15:40',
    sky: 'clear',
    story:
      'After a change of battery the filter stays in its case for one clip, and the notes do not say so.',
    legs: [
      { minute: 0, clips: 4, stills: 1, ...away, fitted: 'pick' },
      { minute: 7, clips: 1, ...away, fitted: 'none', noted: 'pick' },
      { minute: 9, clips: 2, ...away, fitted: 'pick' },
    ],
  },
  {
    folder: '07-long-shoal',
    place: 'Long Shoal',
    startsAt: '2026-02-20T09:20',
    sky: 'cloud',
    story: 'Broken cloud in the morning. The same view follows with ND32 and without.',
    legs: [
      { minute: 0, clips: 3, ...away, fitted: 'pick' },
      { minute: 6, clips: 3, stills: 1, ...away, fitted: 'swap' },
    ],
  },
  {
    folder: '08-far-reef',
    place: 'Far Reef',
    startsAt: '2026-03-01T13:00',
    sky: 'clear',
    story:
      'The same view follows with ND32 and without. The copy of the card is interrupted in the middle of a clip.',
    mishap: 'interrupted-copy',
    legs: [
      { minute: 0, clips: 3, ...across, fitted: 'pick' },
      { minute: 6, clips: 3, stills: 1, ...across, fitted: 'swap' },
    ],
  },
  {
    folder: '09-long-shoal',
    place: 'Long Shoal',
    startsAt: '2026-03-08T16:15',
    sky: 'haze',
    story:
      'The same view through the pick and through what the plan kept in the pocket. The card is audited twice, because nobody remembers whether it was.',
    mishap: 'audited-twice',
    legs: [
      { minute: 0, clips: 3, ...away, fitted: 'pick' },
      { minute: 5, clips: 3, stills: 1, ...away, fitted: 'pocket' },
    ],
  },
  {
    folder: '10-kettle-bank',
    place: 'Kettle Bank',
    startsAt: '2026-03-15T11:00',
    sky: 'clear',
    story: 'The last flight before the one that was planned for all along.',
    legs: [{ minute: 0, clips: 4, stills: 1, ...away, fitted: 'pick' }],
  },
];

export interface ComingFlight {
  readonly place: string;
  readonly startsAt: string;
  readonly sky: SkyName;
  readonly facing: Facing;
  readonly framesPerSecond: number;
}

/** Flights that nobody has flown: the first is the one that the tour plans, the others are asked by tests only. */
export const COMING: readonly [ComingFlight, ...ComingFlight[]] = [
  { place: 'Kettle Bank', startsAt: '2026-03-21T14:00', sky: 'haze', ...away },
  { place: 'Long Shoal', startsAt: '2026-03-21T15:30', sky: 'clear', ...away },
  { place: 'Long Shoal', startsAt: '2026-03-22T12:30', sky: 'haze', ...away },
  { place: 'Kettle Bank', startsAt: '2026-03-24T10:00', sky: 'clear', ...across },
  { place: 'Kettle Bank', startsAt: '2026-03-25T16:40', sky: 'haze', ...away },
  { place: 'Far Reef', startsAt: '2026-03-27T12:00', sky: 'overcast', ...away },
  { place: 'Far Reef', startsAt: '2026-03-28T14:30', sky: 'clear', ...away },
];
