import { h, type ComponentChildren, type VNode } from 'preact';
import { renderToString } from 'preact-render-to-string';

/** Leaves a gap in the page for items that are rendered one by one. */
export type Later = <T>(items: readonly T[], rendered: (item: T) => VNode) => ComponentChildren;

// Nothing else in a page can look like it: "<" in texts and attributes is escaped.
const gap = '<gap></gap>';

/** Renders a page whose long lists are never held whole. */
export function* renderInPieces(page: (later: Later) => VNode): Generator<string> {
  const lists: Iterable<string>[] = [];
  // Called when the page is written as far as the gap: so lists and gaps have one order.
  const Gap = ({ list }: { readonly list: Iterable<string> }) => {
    lists.push(list);
    return h('gap', null);
  };
  const later: Later = (items, rendered) => h(Gap, { list: oneByOne(items, rendered) });
  const around = renderToString(page(later)).split(gap);
  for (const [at, text] of around.entries()) {
    yield text;
    yield* lists[at] ?? [];
  }
}

function* oneByOne<T>(items: readonly T[], rendered: (item: T) => VNode): Generator<string> {
  for (const item of items) yield renderToString(rendered(item));
}
