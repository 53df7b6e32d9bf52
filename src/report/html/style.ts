const wideStyle = `
:root {
  color-scheme: light dark;
  --paper: #faf9f5; --ink: #1f262b; --soft: #59636b; --line: #dddad1; --field: #f0eee7;
  --alert: #9c3413; --fine: #22614f; --wanted: #c8dfc6; --plot: #2d4a63;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #14181b; --ink: #e4e6e3; --soft: #9ea9ae; --line: #323a3f; --field: #1c2226;
    --alert: #f29b7f; --fine: #86c9b3; --wanted: #2c4a3c; --plot: #a9c7e0;
  }
}
* { box-sizing: border-box; }
[hidden] { display: none !important; }
body {
  margin: 0; background: var(--paper); color: var(--ink);
  font: 1rem/1.55 ui-sans-serif, system-ui, sans-serif; -webkit-text-size-adjust: 100%;
}
main { max-width: 78rem; margin: 0 auto; padding: 1.8rem 2rem 4rem; }
h1, h2, h3, p, dl, dd, ul, ol, table, figure { margin: 0; padding: 0; }
h1, h2, h3 { line-height: 1.25; overflow-wrap: anywhere; }
h1, h2 { font-family: ui-serif, Georgia, "Times New Roman", serif; }
h1 { font-weight: 600; font-size: 2.1rem; line-height: 1.2; margin: .2rem 0 .2rem; }
h2 { font-weight: 600; font-size: 1.35rem; margin: 0 0 1rem; }
section { margin-top: 2.4rem; }
a { color: inherit; text-decoration-color: var(--soft); text-decoration-thickness: 1px; text-underline-offset: .2em; }
a:hover { text-decoration-color: currentColor; }
:focus-visible { outline: 2px solid var(--fine); outline-offset: 3px; }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.patterns { position: absolute; }
.patterns rect { fill: var(--alert); }
.note { color: var(--soft); font-size: .875rem; overflow-wrap: anywhere; }
table + .note { margin-top: .9rem; }
h2 + .note { margin: -.6rem 0 1rem; max-width: 46rem; }

.eyebrow { color: var(--soft); font-size: .875rem; overflow-wrap: anywhere; }
.flight { max-width: 62rem; overflow-wrap: anywhere; margin: .7rem 0 .3rem; }
.flight div { display: grid; grid-template-columns: 9rem 1fr; padding: .1rem 0; }
.head .flight dd { font-weight: 600; }
.flight dt { color: var(--soft); }
.matters { list-style: none; counter-reset: matter; max-width: 56rem; }
.matters li { counter-increment: matter; display: grid; grid-template-columns: 1.5rem 1fr; padding: .2rem 0; overflow-wrap: anywhere; }
.matters li::before { content: counter(matter); color: var(--soft); }
.matters a { text-decoration-color: var(--line); }
.jump { display: flex; flex-wrap: wrap; gap: .3rem 1.6rem; margin-top: 1.4rem; font-size: .875rem; }

.tools {
  position: sticky; top: 0; z-index: 1; display: flex; flex-wrap: wrap; gap: .5rem 1.6rem; align-items: baseline;
  margin: .4rem -2rem 0; padding: .7rem 2rem; background: var(--paper); border-bottom: 1px solid var(--line);
  font-size: .875rem; color: var(--soft);
}
.tools select { font: inherit; color: var(--ink); background: var(--field); border: 1px solid var(--line); padding: .15rem .3rem; max-width: 21rem; }
.tools #said { color: var(--ink); font-variant-numeric: tabular-nums; }
button { font: inherit; color: inherit; background: none; border: 1px solid var(--line); border-radius: 2px; padding: .1rem .5rem; cursor: pointer; }
.tools #ask-keys { margin-left: auto; }
#keys { color: var(--ink); background: var(--paper); border: 1px solid var(--soft); padding: 1.2rem 1.6rem; }
#keys::backdrop { background: #0008; }
#keys div { display: grid; grid-template-columns: 2.5rem 1fr; padding: .2rem 0; }
#keys button { margin-top: .9rem; }
kbd { font: inherit; color: var(--ink); border-bottom: 1px solid var(--soft); padding: 0 .15em; }
.tools:not([hidden]) ~ section { scroll-margin-top: 4rem; }
.tools:not([hidden]) ~ section :is(h2, .entry) { scroll-margin-top: 4.5rem; }

.uses { display: grid; grid-template-columns: repeat(auto-fit, minmax(14.5rem, 1fr)); gap: 0 2rem; }
.uses section { margin-top: 1.2rem; border-top: 3px solid var(--fine); padding-top: .5rem; }
.uses .trim { border-top-style: double; }
.uses .leave { border-top-color: var(--alert); }
.uses .unmeasured { border-top: 1px solid var(--line); }
.uses h2 { display: inline; font-size: 1.2rem; margin: 0 .5rem 0 0; }
.uses h2 + .note { display: inline; }
.uses details { margin-top: .6rem; }
.uses + .note { margin-top: .7rem; }
.sheet { list-style: none; display: grid; grid-template-columns: repeat(auto-fill, minmax(6.8rem, 1fr)); gap: .7rem .7rem; margin-top: .6rem; }
.sheet a, .sheet div { display: block; text-decoration: none; font-size: .75rem; line-height: 1.3; }
.bar { display: block; margin-top: 2px; }
.bar .base { fill: var(--field); }
.bar .usable { fill: var(--plot); }
.bar .clipped { fill: var(--soft); }
.bar .spoils.clipped { fill: url(#slanted); }
.bar :is(.stutter, .smear, .unread) { fill: url(#upright); }
.sheet img { display: block; width: 100%; height: auto; aspect-ratio: 16 / 9; object-fit: cover; background: var(--field); }
.sheet .blank { display: grid; place-items: center; aspect-ratio: 16 / 9; background: var(--field); color: var(--soft); }
.sheet .name { display: block; font-variant-numeric: tabular-nums; margin-top: .2rem; font-weight: 600; overflow-wrap: anywhere; }
.folder { display: block; color: var(--soft); font-weight: 400; font-size: .8125em; line-height: 1.3; }
.sheet .folder { display: none; }
.sheet .name { display: -webkit-box; -webkit-box-orient: vertical; -webkit-line-clamp: 3; overflow: hidden; }
.sheet a:hover .name { text-decoration: underline; }
.sheet .what { display: block; color: var(--soft); }
.sheet .what.alert { color: var(--alert); font-weight: 400; }

table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums lining-nums; font-size: .9375rem; }
th { text-align: left; font-weight: 500; color: var(--soft); font-size: .8125rem; }
th, td { padding: .2rem 1.1rem .2rem 0; vertical-align: baseline; border-bottom: 1px solid var(--line); }
th:last-child, td:last-child { padding-right: 0; }
.overview thead button { border: 0; padding: 0; color: inherit; text-align: inherit; }
.overview [aria-sort=ascending] button::after { content: " ↑"; }
.overview [aria-sort=descending] button::after { content: " ↓"; }
.number { text-align: right; white-space: nowrap; }
.overview td { white-space: nowrap; }
.overview td:last-child { white-space: normal; }
.overview .name { white-space: normal; overflow-wrap: anywhere; min-width: 9rem; padding-left: .9rem; position: relative; font-weight: 500; color: inherit; font-size: inherit; }
.overview .name a { text-decoration-color: var(--line); }
.overview thead th:first-child { padding-left: .9rem; }
.overview tr.flagged .name::before { content: "!"; position: absolute; left: 0; color: var(--alert); font-weight: 700; }
.unknown { color: var(--soft); }
.alert { color: var(--alert); font-weight: 600; }

.entry { border-top: 1px solid var(--line); margin: 0; }
.entry > summary { display: flex; flex-wrap: wrap; gap: 0 .8rem; align-items: baseline; padding: .3rem 0; color: inherit; font-size: .9375rem; }
.entry > summary::before { content: "▸"; color: var(--soft); width: .8rem; }
.entry[open] > summary::before { content: "▾"; }
.entry > summary::marker { content: ""; }
.entry h3 { font-size: inherit; font-weight: 600; width: 21rem; }
.entry .folder { display: inline; }
.entry > summary .for { font-size: .8125rem; }
.for { color: var(--soft); min-width: 3rem; }
.for.leave { color: var(--alert); }
.body { display: grid; grid-template-columns: 12rem minmax(0, 1fr); gap: 0 2rem; padding: .4rem 0 1.6rem 1.6rem; }
.places { list-style: none; display: flex; flex-wrap: wrap; gap: .1rem 1.4rem; margin: .5rem 0 0; font-size: .875rem; font-variant-numeric: tabular-nums; }
.places li::before { content: ""; display: inline-block; width: .8rem; height: .5rem; margin-right: .4rem; background: var(--alert); }
.places .usable::before { background: var(--plot); }
.place[role] { cursor: copy; text-decoration: underline dotted var(--soft); text-underline-offset: .2em; }
.place[data-copied]::after { content: " copied"; color: var(--fine); }
.body > div { position: relative; }
.preview { position: absolute; z-index: 1; padding: .4rem; background: var(--paper); border: 1px solid var(--soft); }
.preview img { display: block; width: min(100%, 30rem); height: auto; }
.preview figcaption { color: var(--soft); font-size: .8125rem; font-variant-numeric: tabular-nums; }
.glance { margin-top: 0; font-size: .875rem; font-variant-numeric: tabular-nums lining-nums; }
.glance div { display: grid; grid-template-columns: 5rem 1fr; padding: .1rem 0; }
.glance dt { color: var(--soft); }
.glance dd { overflow-wrap: anywhere; }
.verdict { overflow-wrap: anywhere; }
.verdict.flagged { color: var(--alert); }
.verdict.quiet { color: var(--soft); }
.strip { display: grid; grid-auto-flow: column; grid-auto-columns: 1fr; gap: 2px; clear: both; }
.strip img, .sheet img, .members img { outline: 1px solid var(--line); outline-offset: -1px; }
.strip img { display: block; width: 100%; height: auto; max-height: 8rem; object-fit: contain; background: var(--field); }
.plot { display: block; margin-top: .9rem; overflow: visible; }
.plot text { fill: var(--soft); font-size: 12px; font-variant-numeric: tabular-nums; }
.plot text.end { text-anchor: end; fill: var(--ink); }
.plot .field { fill: var(--field); }
.plot .wanted { fill: var(--wanted); }
.plot .line { fill: none; stroke: var(--plot); stroke-width: 1.6; vector-effect: non-scaling-stroke; stroke-linejoin: round; }
.plot .filled { fill: var(--plot); fill-opacity: .3; stroke: var(--plot); stroke-width: 1.4; vector-effect: non-scaling-stroke; }
.plot circle { fill: var(--plot); }
.plot .mark line, .plot .axis line { stroke: var(--line); }
.plot .clipped rect { fill: url(#slanted); }
.plot :is(.stutter, .smear, .unread) rect { fill: url(#upright); }
.plot .usable rect { fill: var(--plot); }
.said { display: flow-root; margin-top: .8rem; }
.burnt { float: right; width: 20rem; margin: .2rem 0 1rem 2rem; }
.burnt div { position: relative; width: fit-content; }
.burnt img { display: block; width: auto; height: auto; min-width: 9rem; max-width: 100%; max-height: 18rem; }
.burnt img + img { position: absolute; inset: 0; width: 100%; height: 100%; image-rendering: pixelated; }
.burnt figcaption { color: var(--soft); font-size: .8125rem; margin-top: .4rem; }
.said dl div { display: flow-root; padding: .28rem 0; }
.said dl { max-width: 54rem; }
.said dt { float: left; width: 6.5rem; color: var(--soft); font-size: .875rem; line-height: 1.7; }
.said dd { margin-left: 7.5rem; overflow-wrap: anywhere; }
.said dd p + p { margin-top: .3rem; }
.said .remark dd { color: var(--soft); }
.said dt a { color: inherit; }
.said .todo dt { color: var(--fine); font-weight: 600; }
details { margin-top: .9rem; clear: both; }
.said details { margin-top: .3rem; clear: none; }
.otherwise ul { margin: .4rem 0 0; padding-left: 1.1rem; }
.otherwise li { margin-bottom: .35rem; }
summary { cursor: pointer; color: var(--soft); font-size: .875rem; }
details h4 { margin: 1.1rem 0 .2rem; font-size: .875rem; font-weight: 600; }
.blur { margin-top: .9rem; max-width: 35rem; }
.blur svg { display: block; width: 100%; height: auto; overflow: visible; }
.blur text { font-size: 11px; fill: var(--soft); }
.blur .rule { stroke: var(--line); }
.blur circle { fill: var(--soft); }
.blur path { fill: none; stroke: var(--ink); stroke-width: 1.5; }
.blur figcaption { color: var(--soft); font-size: .8125rem; }
details table { font-size: .875rem; }
details td, details th { overflow-wrap: anywhere; padding-block: .3rem; }
details th { width: 11rem; }
.facts td:nth-child(2):not([colspan]) { width: 18rem; }
.members { list-style: none; display: grid; grid-template-columns: repeat(auto-fill, minmax(7rem, 1fr)); gap: .5rem; margin: 1rem 0; }
.members img { display: block; width: 100%; height: auto; }
.members span { font-size: .8125rem; color: var(--soft); font-variant-numeric: tabular-nums; }

.plain { list-style: none; max-width: 56rem; }
.plain li { padding: .5rem 0; border-top: 1px solid var(--line); overflow-wrap: anywhere; }
.plain b { font-weight: 600; }
.method h3 { margin-top: 1.6rem; font-size: 1rem; }
.terms { margin-top: .4rem; max-width: 56rem; }
.terms div { display: grid; grid-template-columns: 11rem 1fr; gap: 0 1.5rem; padding: .4rem 0; border-top: 1px solid var(--line); }
.terms dt { color: var(--soft); }
footer { margin-top: 3.5rem; }
`;

/** Up to here a page is read on a phone held upright. */
export const phoneWidth = '34rem';

const narrowStyle = `
@media screen and (max-width: 62rem) {
  main { padding: 1.4rem 1.4rem 3rem; }
  .tools { margin-inline: -1.4rem; padding-inline: 1.4rem; }
  .tools #ask-keys { display: none; }
  .body { grid-template-columns: minmax(0, 1fr); gap: .6rem; padding-left: 0; }
  .glance { columns: 3 9rem; column-gap: 1.5rem; }
  .glance div { break-inside: avoid; }
  .overview { font-size: .875rem; }
  .overview .spare { display: none; }
  th, td { padding-right: .7rem; }
}
@media screen and (max-width: 52rem) {
  h1 { font-size: 1.65rem; }
  section { margin-top: 1.8rem; }
  .flight div { grid-template-columns: 8.6rem 1fr; }
  .tools { position: static; }
  .tools select { max-width: 12rem; }
  .burnt { float: none; display: flex; gap: .9rem; align-items: end; width: auto; margin: 0 0 .6rem; }
  .burnt div { flex: none; max-width: min(60%, 20rem); }
  .burnt img { min-width: 0; }
  .burnt figcaption { margin: 0; }
  .plot text { font-size: 11px; }
  details th { width: auto; }
  .facts, .facts tbody, .facts tr, .facts th, .facts td, .facts td:nth-child(2):not([colspan]) { width: auto; display: block; border: 0; padding: 0; }
  .facts tr { padding: .35rem 0; border-bottom: 1px solid var(--line); }
  .terms div { grid-template-columns: 1fr; }
}
@media screen and (max-width: 46rem) {
  .overview thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .overview, .overview tbody { display: block; }
  .overview tr { display: flex; flex-wrap: wrap; gap: .1rem 1.1rem; padding: .7rem 0 .7rem .9rem; border-bottom: 1px solid var(--line); }
  .overview th, .overview td { display: block; border: 0; padding: 0; }
  .overview .name { flex: 0 0 100%; padding: 0 0 .15rem; }
  .overview tr.flagged .name::before { left: -.9rem; }
  .overview .unknown, .overview .spare { display: none; }
  .overview td::before { content: attr(data-label); color: var(--soft); font-weight: 400; margin-right: .4em; }
}
@media screen and (max-width: ${phoneWidth}) {
  main { padding: 1rem 1rem 2.5rem; }
  .tools { margin-inline: -1rem; padding-inline: 1rem; }
  h1 { font-size: 1.5rem; }
  .flight { font-size: .875rem; }
  .flight div { display: block; }
  .flight dt { display: inline; }
  .flight dt::after { content: ": "; }
  .flight dd { display: inline; }
  .head .note, .jump { font-size: .8125rem; }
  .uses section { margin-top: .7rem; padding-top: .2rem; }
  .uses h2 { font-size: 1rem; }
  .sheet { grid-template-columns: repeat(4, 1fr); gap: .4rem; margin-top: .3rem; }
  .sheet a, .sheet div { font-size: .6875rem; }
  .sheet .what { display: none; }
  .sheet .name { font-weight: 400; }
  .use .sheet { grid-template-columns: repeat(6, 1fr); }
  .use .sheet .name { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  .uses details { margin-top: .3rem; }
  .uses summary { white-space: nowrap; overflow: hidden; text-overflow: ellipsis; font-size: .8125rem; }
  .entry h3 { width: auto; max-width: calc(100% - 1.6rem); }
  .entry > summary { padding: .2rem 0; }
  .entry .quiet, .overview .lesser:not(.alert) { display: none; }
  .overview tr { padding: .3rem 0 .3rem .9rem; }
  .entry .glance { columns: auto; display: flex; flex-wrap: wrap; gap: 0 .9rem; margin-top: .2rem; font-size: .8125rem; }
  .glance div { display: block; padding: 0; }
  .glance dt { margin-right: .35em; }
  .glance :is(dt, dd), .said :is(dt, dd, dd p) { display: inline; }
  .said { margin-top: .4rem; font-size: .9375rem; line-height: 1.45; }
  .said dl div { padding: .2rem 0; }
  .said dt { float: none; font-size: inherit; line-height: inherit; font-weight: 600; }
  .said dt::after { content: ". "; }
  .said dd { margin: 0; }
  .said p + p::before { content: " "; }
  .said .todo:last-child p + p { display: block; margin-top: .15rem; }
  .members { grid-template-columns: repeat(4, 1fr); gap: .3rem; margin: .6rem 0; }
  .strip { margin-top: .6rem; }
  details, .over-time { margin-top: .4rem; }
}
`;

/** A4 and Letter alike: no size is set, and nothing is wider than the narrower of the two. */
const printStyle = `
@page { margin: 15mm 14mm 16mm; @bottom-right { content: counter(page); font: 9pt Georgia, serif; color: #444; } }
@media print {
  :root {
    --paper: #fff; --ink: #000; --soft: #444; --line: #bbb; --field: #f2f2f0; --alert: #8a2c10; --fine: #1d5445;
    --wanted: #dcead9; --plot: #2d4a63;
  }
  html { font-size: 9.5pt; }
  body, .plot rect, .strip img, .burnt img { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
  main { max-width: none; padding: 0; }
  .tools, .jump, .entry details:not(.over-time):not([open]) { display: none; }
  .over-time::details-content, .entry[data-kinds~=flagged]::details-content { content-visibility: visible; block-size: auto; }
  section { margin-top: 1.8rem; }
  h2, h3 { break-after: avoid; }
  h2 + .note { break-after: avoid; break-inside: avoid; }
  .uses { grid-template-columns: repeat(3, minmax(0, 1fr)); gap: 0 1.2rem; }
  .sheet { grid-template-columns: repeat(3, minmax(0, 1fr)); gap: .5rem; }
  .entry > summary::before, .over-time summary, .file { display: none; }
  th, td { padding-right: .5rem; }
  .sheet li, tr, .plain li, .terms div, .matters li, .head { break-inside: avoid; }
  .overview { font-size: .8125rem; }
  .overview td, .overview th { padding: .25rem .6rem .25rem 0; }
  .overview .name { padding-left: .9rem; }
  .terms div { padding: .3rem 0; }
  thead { display: table-header-group; }
  .entry { break-inside: avoid; }
  .body { grid-template-columns: 9.5rem minmax(0, 1fr); gap: 0 1.4rem; padding: .2rem 0 1rem; }
  .glance { columns: auto; }
  .glance div { grid-template-columns: 4.6rem 1fr; }
  .plot { margin-top: .4rem; zoom: .74; }
  .strip img { max-height: 11mm; object-fit: cover; }
  .said { margin-top: .4rem; font-size: .9rem; line-height: 1.36; }
  .burnt { float: right; width: 11rem; margin: 0 0 .6rem 1.2rem; }
  .said dt { float: left; width: 5.2rem; }
  .said dd { margin-left: 5.8rem; }
  details[open]:not(.entry) { break-inside: auto; }
  a { text-decoration: none; }
}
`;

/** The page's whole style. Colour only stands beside words, signs or patterns that say the same. */
export const pageStyle = `${wideStyle}${narrowStyle}${printStyle}`;
