import { displayText } from '../domain/displayText.ts';

/**
 * The same plain value with every text in it made safe to print, keys included: a report that starts with this
 * cannot forget one. What holds no such text is not copied.
 * @example displayable({ dump: 'card\u001b[2J' }) // { dump: 'card\\x1b[2J' }
 */
export function displayable<T>(value: T): T {
  return escaped(value) as T;
}

function escaped(value: unknown): unknown {
  if (typeof value === 'string') return displayText(value);
  if (Array.isArray(value)) return escapedList(value);
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value);
  const shown = entries.map(([name, entry]) => [displayText(name), escaped(entry)] as const);
  const isSame = shown.every(([name, entry], at) => name === entries[at]![0] && entry === entries[at]![1]);
  return isSame ? value : Object.fromEntries(shown);
}

function escapedList(list: readonly unknown[]): readonly unknown[] {
  const shown = list.map(escaped);
  return shown.every((entry, at) => entry === list[at]) ? list : shown;
}
