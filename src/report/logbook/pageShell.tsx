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

/** What the pages of the logbook look like. */
export const pageStyle = `
:root { color-scheme: light dark; --paper: #faf9f5; --ink: #1f262b; --soft: #59636b; --line: #dddad1; --band: #e7ecef; --mark: #2d4a63; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #14181b; --ink: #e4e6e3; --soft: #9ea9ae; --line: #323a3f; --band: #222a2f; --mark: #a9c7e0; }
}
* { box-sizing: border-box; margin: 0; padding: 0; }
body { background: var(--paper); color: var(--ink); font: 1rem/1.5 ui-sans-serif, system-ui, sans-serif; }
main { max-width: 52rem; margin: 0 auto; padding: 2.5rem 1.5rem; }
h1, h2 { font-family: ui-serif, Georgia, serif; font-weight: 600; line-height: 1.25; margin-bottom: .8rem; }
h2 { font-size: 1.2rem; margin-top: 2rem; }
p { color: var(--soft); max-width: 46rem; margin-top: .6rem; }
p.lead { color: var(--ink); }
figure { margin: 1.6rem 0; }
figcaption { color: var(--soft); font-size: .875rem; }
svg { display: block; width: 100%; height: auto; }
svg text { fill: var(--soft); font-size: 12px; }
svg .band { fill: var(--band); }
svg .mark { fill: none; stroke: var(--mark); stroke-width: 1.8; }
svg .today { stroke: var(--ink); stroke-width: 2; stroke-dasharray: 5 3; }
svg .trend { fill: none; stroke: var(--mark); stroke-width: 2; }
svg .axis { stroke: var(--line); }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; font-size: .9375rem; }
th { text-align: left; font-weight: 500; color: var(--soft); font-size: .8125rem; vertical-align: bottom; }
tbody th { color: var(--ink); font-size: .9375rem; white-space: nowrap; }
td, tbody th { vertical-align: baseline; }
td:last-child { white-space: nowrap; }
th, td { padding: .35rem .8rem .35rem 0; border-bottom: 1px solid var(--line); }
@media screen and (max-width: 34rem) {
  main { padding: 1.5rem 1rem; }
  h1 { font-size: 1.5rem; }
  svg text { font-size: 18px; }
  table { font-size: .75rem; }
  th, tbody th { font-size: .75rem; white-space: normal; }
  th, td { padding-right: .35rem; }
}
@page { margin: 15mm; }
@media print { main { padding: 0; max-width: none; } tr, figure { break-inside: avoid; } }
`;
