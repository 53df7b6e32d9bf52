import { logbookExportSchema, type LoggedFlight } from '../document/loggedFlight.ts';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';

/** An export, flight by flight, so that a large logbook is never held as one text. */
export function* exportedText(flights: Iterable<LoggedFlight>): Generator<string> {
  yield '{\n"format": "halfturn-logbook",\n"formatVersion": 1,\n"flights": [';
  let before = '\n';
  for (const flight of flights) {
    yield before + JSON.stringify(flight);
    before = ',\n';
  }
  yield '\n]\n}\n';
}

/** Reads an export; what is not one is refused with the place. */
export function parseExported(json: string, file: string): readonly LoggedFlight[] {
  const name = displayText(file);
  let value: unknown;
  try {
    value = JSON.parse(json);
  } catch (error) {
    throw new HalfturnError(
      `"${name}" is no JSON: ${displayText((error as Error).message)}.`,
      'Give what "halfturn logbook export" wrote.',
    );
  }
  const result = logbookExportSchema.safeParse(value);
  if (result.success) return result.data.flights;
  const [issue] = result.error.issues;
  throw new HalfturnError(
    `"${name}" is no export of a logbook: ${issue?.path.map(String).join('.') ?? ''} ${issue?.message ?? ''}.`,
    'Give what "halfturn logbook export" wrote, in JSON.',
  );
}
