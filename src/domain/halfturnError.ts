/** A failure that was expected: one sentence for the person, and what to do about it. Ends with exit status 2. */
export class HalfturnError extends Error {
  override readonly name = 'HalfturnError';
  readonly hint: string | undefined;
  /** More exactly, often in the words of another program. */
  readonly detail: string | undefined;
  /** Another time it may go otherwise, though nothing has changed; such an outcome is not cached. */
  readonly transient: boolean;

  constructor(message: string, hint?: string, detail?: string, transient = false) {
    super(message);
    this.hint = hint;
    this.detail = detail;
    this.transient = transient;
  }
}
