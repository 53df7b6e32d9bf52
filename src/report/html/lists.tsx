import type { MethodEntry } from '../method.ts';

interface ListProps {
  readonly title: string;
  readonly id: string;
  readonly entries: readonly { readonly name?: string; readonly text: string }[];
}

/** A titled list of sentences; nothing where there is none. */
export function List({ title, id, entries }: ListProps) {
  if (entries.length === 0) return null;
  return (
    <section aria-labelledby={id}>
      <h2 id={id}>{title}</h2>
      <ul class="plain">
        {entries.map(({ name, text }) => (
          <li>
            {name !== undefined && <b>{name} </b>}
            {text}
          </li>
        ))}
      </ul>
    </section>
  );
}

interface MethodProps {
  readonly method: readonly MethodEntry[];
  readonly accuracy: readonly MethodEntry[];
}

/** The last page: how it was measured, and how far to trust it. */
export function Method({ method, accuracy }: MethodProps) {
  return (
    <section class="method" aria-labelledby="method">
      <h2 id="method">Method and accuracy</h2>
      <Terms entries={method} />
      <h3>How exact it is</h3>
      <p class="note">Measured on test footage whose truth is known.</p>
      <Terms entries={accuracy} />
    </section>
  );
}

function Terms({ entries }: { readonly entries: readonly MethodEntry[] }) {
  return (
    <dl class="terms">
      {entries.map(({ title, text }) => (
        <div>
          <dt>{title}</dt>
          <dd>{text}</dd>
        </div>
      ))}
    </dl>
  );
}
