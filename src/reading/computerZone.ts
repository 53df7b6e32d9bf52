import type { ZoneOffsetAt } from '../domain/localTime.ts';

/** The zone that this computer is set to, which usually is that of the flight. */
export const computerZoneOffsetAt: ZoneOffsetAt = (atMs) => -new Date(atMs).getTimezoneOffset();
