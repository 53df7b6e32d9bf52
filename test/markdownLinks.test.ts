import { expect, test } from 'vitest';
import { linkedFiles } from './markdownLinks.ts';

test('linkedFiles() finds links and pictures, and no addresses, places in the text or code', () => {
  const text = `![A page](a/page.png "Title") of [b](b.md#part) and [there](https://example.org/c.md), see [above](#d).
<img alt="" src="e.png"> \`[f](f.md)\` [g]
\`\`\`
[h](h.md)
\`\`\`
[g]: ../g.md
`;
  expect(linkedFiles(text)).toEqual(['a/page.png', 'b.md', 'e.png', '../g.md']);
});
