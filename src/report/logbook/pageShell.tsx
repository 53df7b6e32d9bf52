import { createHash } from 'node:crypto';
import type { ComponentChildren } from 'preact';
import { renderToString } from 'preact-render-to-string';

interface PageShell {
  readonly title: string;
  readonly style: string;
  readonly children: ComponentChildren;
}

/** A page that needs nothing but itself: only its own style may act on it, and nothing is fetched or run. */
export function page({ title, style, children }: PageShell): string {
  const hash = createHash('sha256').update(style).digest('base64');
  const policy = `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`;
  const markup = renderToString(
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content={policy} />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>{title}</title>
        <style dangerouslySetInnerHTML={{ __html: style }} />
      </head>
      <body>
        <main>{children}</main>
      </body>
    </html>,
  );
  return `<!doctype html>\n${markup}\n`;
}
