export { audit } from './audit/audit.ts';
export type { AuditOptions } from './audit/options.ts';
export { HalfturnError } from './domain/halfturnError.ts';
export type { FittedFilter, KitFilter } from './domain/filterKit.ts';
export type { Limits } from './domain/limits.ts';
export type { RecordingPictures } from './domain/measurement.ts';
export type { AuditDocument, ReportedSequence, ReportedSettings } from './document/auditDocument.ts';
export type { ReportedFilter, ReportedFinding, ReportedRecording } from './document/reportedRecording.ts';
