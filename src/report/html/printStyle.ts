/** A4 and Letter alike: no size is set, and nothing is wider than the narrower of the two. */
export const printStyle = `
@page { margin: 15mm 14mm 16mm; @bottom-right { content: counter(page); font: 9pt Georgia, serif; color: #444; } }
@media print {
  :root {
    --paper: #fff; --ink: #000; --soft: #444; --line: #bbb; --field: #f2f2f0; --alert: #8a2c10; --fine: #1d5445;
    --wanted: #dcead9; --plot: #2d4a63;
  }
  html { font-size: 9.5pt; }
  body, .plot rect, .strip img, .burnt img { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
  main { max-width: none; padding: 0; }
  .tools, .jump, details:not(.over-time):not([open]) { display: none; }
  .over-time::details-content { content-visibility: visible; }
  section { margin-top: 1.8rem; }
  h2, h3 { break-after: avoid; }
  h2 + .note { break-after: avoid; break-inside: avoid; }
  .entry:first-child { break-before: avoid; }
  .sheet { grid-template-columns: repeat(6, 1fr); gap: .9rem .7rem; }
  .sheet li, tr, .plain li, .terms div, .matters li, .head { break-inside: avoid; }
  .overview { font-size: .8125rem; }
  .overview td, .overview th { padding: .25rem .6rem .25rem 0; }
  .overview .name { padding-left: .9rem; }
  .terms div { padding: .3rem 0; }
  thead { display: table-header-group; }
  .entry { break-inside: avoid; grid-template-columns: 9.5rem minmax(0, 1fr); gap: 0 1.4rem; padding: .9rem 0 1rem; }
  .entry h3 { font-size: .95rem; }
  .glance { columns: auto; }
  .glance div { grid-template-columns: 4.6rem 1fr; }
  .plot { margin-top: .4rem; zoom: .74; }
  .strip img { max-height: 11mm; object-fit: cover; }
  .said { margin-top: .4rem; font-size: .9rem; line-height: 1.36; }
  .burnt { float: right; width: 11rem; margin: 0 0 .6rem 1.2rem; }
  .said dt { float: left; width: 5.2rem; }
  .said dd { margin-left: 5.8rem; }
  details[open] { break-inside: auto; }
  a { text-decoration: none; }
}
`;
