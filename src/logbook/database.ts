/** What the logbook asks of a database, which `store.ts` alone opens. */
export interface Database {
  prepare(statement: string): Statement;
  exec(statements: string): unknown;
}

export interface Statement {
  run(...values: readonly unknown[]): { readonly lastInsertRowid: number | bigint };
  get(...values: readonly unknown[]): unknown;
  all(...values: readonly unknown[]): unknown[];
  iterate(...values: readonly unknown[]): Iterable<unknown>;
  /** Answers with the first column alone. */
  pluck(): Statement;
  /** Answers with lists in place of objects. */
  raw(): Statement;
}
