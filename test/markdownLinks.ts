const code = /^```[^]*?^```|`[^`\n]*`/gm;
/** In a text, at its end, or as HTML. */
const link = /\]\(\s*([^()\s]+)[^()]*\)|^\[[^\]]+\]:\s*(\S+)|\s(?:src|href)="([^"]+)"/gm;
const elsewhere = /^(?:[a-z][a-z\d+.-]*:|#|\/\/)/i;

/** The files that a Markdown text links to or shows, as it names them; neither whole addresses nor places in the text. */
export function linkedFiles(markdown: string): readonly string[] {
  const targets = [...markdown.replaceAll(code, '').matchAll(link)].map(
    ([, inside, atTheEnd, inHtml]) => inside ?? atTheEnd ?? inHtml ?? '',
  );
  return targets.filter((target) => !elsewhere.test(target)).map((target) => target.replace(/#.*$/, ''));
}
