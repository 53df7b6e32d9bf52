export { audit } from './audit/audit.ts';
export type { AuditOptions, AuditProgress } from './audit/options.ts';
export { HalfturnError } from './domain/halfturnError.ts';
export type { FittedFilter, KitFilter } from './domain/kit.ts';
export type { Limits } from './domain/limits.ts';
export type { BurntPicture, RecordingPictures, SmallPicture } from './domain/pictures.ts';
export type { AuditDocument, ReportedSequence, ReportedSettings } from './document/auditDocument.ts';
export type { ReportedFilter } from './document/reportedFilter.ts';
export type { ReportedFinding } from './document/reportedFinding.ts';
export type { ReportedPicture } from './document/reportedPicture.ts';
export type {
  ReportedExposure,
  ReportedFacts,
  ReportedRecording,
  ReportedTrack,
} from './document/reportedRecording.ts';
export type { ReportedShutter } from './document/reportedShutter.ts';
