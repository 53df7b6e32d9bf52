/** The page's whole style. Colour only stands beside words or marks that say the same. */
export const pageStyle = `
:root {
  color-scheme: light dark;
  --paper: #fbfaf7; --card: #ffffff; --ink: #20262b; --soft: #5d666d; --line: #dedcd5;
  --alert: #a33a1a; --alert-tint: #f8e9e2; --fine: #2c6a59; --disc: #c9cfcd;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #15191c; --card: #1c2125; --ink: #e6e8e6; --soft: #9da7ab; --line: #333b40;
    --alert: #f0957a; --alert-tint: #3a251e; --fine: #7fc4ae; --disc: #4a5459;
  }
}
* { box-sizing: border-box; }
body {
  margin: 0; background: var(--paper); color: var(--ink);
  font: 1rem/1.55 ui-sans-serif, system-ui, sans-serif; -webkit-text-size-adjust: 100%;
}
main { max-width: 66rem; margin: 0 auto; padding: 3.5rem 1.5rem 5rem; }
h1, h2, h3, p, dl, dd, ul, table, figure { margin: 0; padding: 0; }
h1, h2, h3 { line-height: 1.25; overflow-wrap: anywhere; }
.eyebrow { color: var(--soft); font-size: .875rem; letter-spacing: .01em; overflow-wrap: anywhere; }
h1 { font: 600 2rem/1.2 ui-serif, Georgia, serif; margin: .35rem 0 .9rem; }
.lead { font-size: 1.125rem; max-width: 46rem; overflow-wrap: anywhere; }
h2 { font: 600 1.3rem/1.3 ui-serif, Georgia, serif; margin: 3.5rem 0 1rem; }
h3 { font-size: 1.0625rem; font-weight: 650; }
a { color: inherit; text-decoration-color: var(--soft); text-underline-offset: .2em; }
a:focus-visible, summary:focus-visible { outline: 2px solid var(--fine); outline-offset: 3px; border-radius: 2px; }
.note { color: var(--soft); font-size: .875rem; overflow-wrap: anywhere; }
.overview + .note { margin-top: .8rem; }

table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums lining-nums; font-size: .9375rem; }
th { text-align: left; font-weight: 500; color: var(--soft); font-size: .8125rem; }
th, td { padding: .5rem 1rem .5rem 0; vertical-align: baseline; border-bottom: 1px solid var(--line); }
th:last-child, td:last-child { padding-right: 0; }
.number { text-align: right; white-space: nowrap; }
.overview td { white-space: nowrap; }
.overview .name { white-space: normal; overflow-wrap: anywhere; min-width: 9rem; padding-left: .9rem; text-indent: -.9rem; font-weight: 500; color: inherit; font-size: inherit; }
.overview thead th:first-child { padding-left: .9rem; }
.overview .name::before { content: ""; display: inline-block; width: .9rem; text-indent: 0; color: var(--alert); font-weight: 700; }
.overview tr.flagged .name::before { content: "!"; }
.unknown { color: var(--soft); }
.alert { color: var(--alert); font-weight: 600; }
.disc { width: 1.05em; height: 1.05em; vertical-align: -.15em; margin-left: .45em; }
.disc .ring { fill: none; stroke: var(--disc); stroke-width: 1.5; }
.disc .open { fill: var(--ink); }
.disc .open.off { fill: var(--alert); }
.disc .target { stroke: var(--ink); stroke-width: 1; }

.recording { background: var(--card); border: 1px solid var(--line); border-radius: 6px; padding: 1.4rem 1.6rem 1.2rem; margin-top: 1rem; break-inside: avoid; }
.recording header { display: flex; gap: 1.25rem; align-items: center; justify-content: space-between; }
.recording header .disc { width: 3.25rem; height: 3.25rem; flex: none; margin: 0; }
.recording header .disc .ring { stroke-width: .8; }
.tags { display: flex; flex-wrap: wrap; gap: .35rem; margin-top: .5rem; list-style: none; }
.tags li { font-size: .8125rem; line-height: 1.35; padding: .12rem .55rem; border-radius: 99px; background: var(--alert-tint); color: var(--alert); }
.tags li.low { background: none; color: var(--soft); box-shadow: inset 0 0 0 1px var(--line); }
.said { display: grid; grid-template-columns: 6.5rem 1fr; gap: .55rem 1rem; margin-top: 1.1rem; max-width: 52rem; }
.said dt { color: var(--soft); font-size: .875rem; line-height: 1.7; }
.said dd { overflow-wrap: anywhere; }
.said .advice { border-left: 3px solid var(--fine); padding-left: .8rem; }
.strip { margin-top: 1.1rem; }
.strip svg { display: block; width: 100%; height: .6rem; }
.strip .whole { fill: var(--disc); }
.strip .span { fill: var(--alert); }
.strip figcaption { color: var(--soft); font-size: .8125rem; margin-top: .3rem; font-variant-numeric: tabular-nums; }
details { margin-top: 1.1rem; border-top: 1px solid var(--line); padding-top: .75rem; }
summary { cursor: pointer; color: var(--soft); font-size: .875rem; }
details h4 { margin: 1.1rem 0 .2rem; font-size: .875rem; font-weight: 600; }
details table { font-size: .875rem; }
details td, details th { overflow-wrap: anywhere; border-bottom-color: color-mix(in srgb, var(--line) 60%, transparent); padding-block: .3rem; }
details th { width: 11rem; }
.facts td:nth-child(2):not([colspan]) { width: 16rem; }
.plain { list-style: none; max-width: 52rem; }
.plain li { padding: .55rem 0; border-bottom: 1px solid var(--line); overflow-wrap: anywhere; }
.plain li:last-child { border-bottom: 0; }
.plain b { font-weight: 600; }
footer { margin-top: 3.5rem; }

@media (max-width: 52rem) {
  main { padding: 2rem 1.1rem 3rem; }
  h1 { font-size: 1.6rem; }
  h2 { margin-top: 2.6rem; }
  .overview thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .overview, .overview tbody { display: block; }
  .overview tr { display: grid; grid-template-columns: minmax(0, 8fr) minmax(0, 11fr); gap: .1rem 1.25rem; padding: .8rem 0; border-bottom: 1px solid var(--line); }
  .overview th, .overview td { display: flex; justify-content: space-between; gap: 1rem; border: 0; padding: 0; }
  .overview .name { grid-column: 1 / -1; display: block; padding: 0 0 .2rem .9rem; }
  .overview td { padding-left: .9rem; }
  .overview td:nth-child(odd) { padding-left: 0; }
  .overview td::before { content: attr(data-label); color: var(--soft); font-size: .8125rem; font-weight: 400; }
  .recording { padding: 1.1rem 1.1rem .9rem; }
  .said { grid-template-columns: 1fr; gap: 0; }
  .said dd { margin-bottom: .7rem; }
  .said .advice { margin-bottom: 0; }
  details th { width: auto; }
  .facts, .facts tbody, .facts tr, .facts th, .facts td, .facts td:nth-child(2):not([colspan]) { width: auto; display: block; border: 0; padding: 0; }
  .facts tr { padding: .35rem 0; border-bottom: 1px solid var(--line); }
}
@media print {
  :root { --paper: #fff; --card: #fff; --ink: #000; --soft: #444; --line: #bbb; --alert: #8a2c10; --alert-tint: #fff; --fine: #1d5445; --disc: #bbb; }
  html { font-size: 10pt; }
  .recording { break-inside: auto; }
  .recording header, tr, dd { break-inside: avoid; }
  main { max-width: none; padding: 0; }
  h2 { break-after: avoid; }
  .tags li { box-shadow: inset 0 0 0 1px var(--alert); }
  summary { display: none; }
  details::details-content { content-visibility: visible; block-size: auto; }
  details:not([open]) { border: 0; padding: 0; }
}
`;
