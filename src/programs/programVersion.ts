// What a build says of itself. Release builds carry a number ("5.1.9-0+deb12u1"); snapshot builds carry only a
// commit count ("N-66595-gc2b38619c0-static"), which says nothing about age: the same maker's counts of 2018 and
// 2023 overlap. Two lines are honest in both: the copyright year, which is renewed in every release branch as long
// as it is maintained, and the version of libavcodec.

/** A build's own words about its age. `year` is that of its copyright line, `libavcodec` is [major, minor]. */
export interface BuildAge {
  readonly version: string;
  readonly year?: number;
  readonly libavcodec?: readonly [number, number];
}

/** Reads the answer to `-version`; undefined where it is not that of ffmpeg or ffprobe. */
export function parseVersion(answer: string): BuildAge | undefined {
  const version = /^ff(?:mpeg|probe) version (\S+)/.exec(answer)?.[1];
  if (version === undefined) return undefined;
  const year = /Copyright \(c\) (?:\d{4}-)?(\d{4})/.exec(answer)?.[1];
  const codec = /^libavcodec\s+\d+\.\s*\d+\.\s*\d+ \/ +(\d+)\. *(\d+)/m.exec(answer);
  return {
    version: /^\d+(?:\.\d+)+/.exec(version)?.[0] ?? version,
    year: year === undefined ? undefined : Number(year),
    libavcodec: codec === null ? undefined : ([Number(codec[1]), Number(codec[2])] as const),
  };
}

/**
 * Negative where `a` is the older build. The year decides, because a maintained old branch has repairs that an
 * abandoned newer snapshot lacks; within a year, the codec library's version does.
 */
export function compareAge(a: BuildAge, b: BuildAge): number {
  if (a.year !== undefined && b.year !== undefined && a.year !== b.year) return a.year - b.year;
  if (a.libavcodec === undefined || b.libavcodec === undefined) return 0;
  return a.libavcodec[0] - b.libavcodec[0] || a.libavcodec[1] - b.libavcodec[1];
}
