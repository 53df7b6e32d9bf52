import { displayText } from '../domain/displayText.ts';

/**
 * The same plain value with every text in it made safe to print, keys included: a report that starts with this
 * cannot forget one.
 * @example displayable({ dump: 'card\u001b[2J' }) // { dump: 'card\\x1b[2J' }
 */
export function displayable<T>(value: T): T {
  return escaped(value) as T;
}

function escaped(value: unknown): unknown {
  if (typeof value === 'string') return displayText(value);
  if (Array.isArray(value)) return value.map(escaped);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, entry]) => [displayText(name), escaped(entry)]),
  );
}
