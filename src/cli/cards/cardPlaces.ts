/** Where cards are looked for when none is named. */
export interface CardPlaces {
  /** Folders that may be cards themselves. */
  readonly volumes: readonly string[];
  /** Folders whose folders may be cards, and theirs where there are two levels. */
  readonly parents: readonly { readonly folder: string; readonly levels: 1 | 2 }[];
  /** Linux's table of what is mounted where; without one, what does not answer in time is left behind. */
  readonly mountTable?: string;
  /** Longest time for all of it, in milliseconds. */
  readonly wallMs: number;
}

const wallMs = 4000;

/** The usual places: desktops mount at /media or /run/media (udisks), macOS at /Volumes, Windows gives letters. */
export function usualCardPlaces(platform: NodeJS.Platform): CardPlaces {
  if (platform === 'win32') return { volumes: driveLetters(), parents: [], wallMs };
  if (platform === 'darwin') return { volumes: [], parents: [{ folder: '/Volumes', levels: 1 }], wallMs };
  return {
    volumes: [],
    parents: [
      { folder: '/media', levels: 2 },
      { folder: '/run/media', levels: 2 },
      { folder: '/mnt', levels: 1 },
    ],
    mountTable: platform === 'linux' ? '/proc/self/mountinfo' : undefined,
    wallMs,
  };
}

/** A and B are floppy drives, C is the system's. */
function driveLetters(): readonly string[] {
  return 'DEFGHIJKLMNOPQRSTUVWXYZ'.split('').map((letter) => `${letter}:\\`);
}
