export { audit } from './audit/audit.ts';
export type { AuditOptions, AuditProgress } from './audit/options.ts';
export { HalfturnError } from './domain/halfturnError.ts';
export type { FittedFilter, KitFilter } from './domain/filterKit.ts';
export type { Limits } from './domain/limits.ts';
export type { BurntPicture, RecordingPictures, SmallPicture } from './domain/measurement.ts';
export type { AuditDocument, ReportedSequence, ReportedSettings } from './document/auditDocument.ts';
export type {
  ReportedExposure,
  ReportedFacts,
  ReportedFilter,
  ReportedFinding,
  ReportedPicture,
  ReportedRecording,
  ReportedShutter,
  ReportedTrack,
} from './document/reportedRecording.ts';
