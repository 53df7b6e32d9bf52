export { audit, type AuditOptions, type AuditProgress } from './audit.ts';
export { HalfturnError } from './domain/halfturnError.ts';
export type { FittedFilter, KitFilter } from './domain/kit.ts';
export type { Limits } from './domain/limits.ts';
export type { BurntPicture, RecordingPictures, SmallPicture } from './domain/pictures.ts';
export type * from './domain/report.ts';
