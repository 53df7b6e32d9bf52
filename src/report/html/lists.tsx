import { capital } from '../../domain/format.ts';
import { explanationOf, type FindingKind } from '../../findings/index.ts';
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

/** Where the page explains a kind of finding. */
export function meaningId(kind: FindingKind): string {
  return `finding-${kind}`;
}

/** What each kind of finding that there is means; nothing where there is none. */
export function Meanings({ kinds }: { readonly kinds: readonly FindingKind[] }) {
  if (kinds.length === 0) return null;
  const entries = kinds.map((kind) => {
    const { title, meaning, limit } = explanationOf(kind);
    const text = `${meaning} Said from: ${limit.at}. Source: ${limit.source}.`;
    return { id: meaningId(kind), title: capital(title), text };
  });
  return (
    <section aria-labelledby="meanings">
      <h2 id="meanings">What the findings mean</h2>
      <Terms entries={entries} />
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

function Terms({ entries }: { readonly entries: readonly (MethodEntry & { readonly id?: string })[] }) {
  return (
    <dl class="terms">
      {entries.map(({ id, title, text }) => (
        <div id={id}>
          <dt>{title}</dt>
          <dd>{text}</dd>
        </div>
      ))}
    </dl>
  );
}
