import { h } from 'preact';
import { renderToString } from 'preact-render-to-string';
import { expect, test } from 'vitest';
import { renderInPieces, type Later } from '../../src/report/html/renderInPieces.ts';

const hostile = ['<gap></gap>', '</li>', '&', 'a'];

/** A page of two lists, the second of which is asked for before the first is written. */
function Page({ later }: { readonly later: Later }) {
  const second = later(hostile, (text) => h('p', null, text));
  return h('main', null, h(First, { later }), h('section', null, second), '<gap></gap>');
}

function First({ later }: { readonly later: Later }) {
  return h(
    'ul',
    null,
    later([1, 2, 3], (number) => h('li', null, number)),
  );
}

test('a page in pieces is the page as a whole, whatever the texts say and in whichever order lists are asked for', () => {
  const whole = renderToString(h(Page, { later: (items, rendered) => items.map(rendered) }));
  const pieces = [...renderInPieces((later) => h(Page, { later }) as ReturnType<typeof h>)];
  expect(pieces.join('')).toBe(whole);
  expect(pieces.length).toBeGreaterThan(hostile.length + 3);
});
