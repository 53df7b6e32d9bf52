import type { ExposureBasis } from '../domain/finding.ts';

/** What an exposure was judged by, to end a sentence with. */
export const judgedBy: Readonly<Record<ExposureBasis, string>> = {
  metered: "by the camera's own meter",
  picture: 'judged by its mean brightness, which also depends on the subject',
};
