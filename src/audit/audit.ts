import type { AuditDocument } from '../document/auditDocument.ts';
import { openScratchFile } from '../cache/scratchFile.ts';
import { auditInto } from './auditInto.ts';
import { examinerHere } from './examiner.ts';
import type { AuditOptions } from './options.ts';

/**
 * Audits a card dump (or one file of it): reads, measures, judges, advises. All of it happens in the process that calls;
 * the command line has files read and measured in another, which a file that crashes a decoder ends instead.
 *
 * @param dump path of a folder or file
 * @returns the audit document; a file that cannot be read is a problem in it
 * @throws HalfturnError where nothing can be audited at all: no such dump, no media in it, no usable ffprobe, bad notes
 */
export async function audit(dump: string, options: AuditOptions = {}): Promise<AuditDocument> {
  const document = await auditInto(
    { scratch: openScratchFile(undefined), examiner: examinerHere },
    dump,
    options,
  );
  return { ...document, recordings: [...document.recordings] };
}
