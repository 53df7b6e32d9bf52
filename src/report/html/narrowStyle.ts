/** Up to here a page is read on a phone held upright. */
export const phoneWidth = '34rem';

export const narrowStyle = `
@media screen and (max-width: 62rem) {
  main { padding: 2.4rem 1.4rem 3.5rem; }
  .tools { margin-inline: -1.4rem; padding-inline: 1.4rem; }
  .tools .keys { display: none; }
  .entry { grid-template-columns: minmax(0, 1fr); gap: .9rem; }
  .glance { columns: 3 9rem; column-gap: 1.5rem; }
  .glance div { break-inside: avoid; }
  .overview { font-size: .875rem; }
  .overview .spare { display: none; }
  th, td { padding-right: .7rem; }
}
@media screen and (max-width: 52rem) {
  h1 { font-size: 1.65rem; }
  section { margin-top: 2.6rem; }
  .matters { font-size: 1.0625rem; }
  .flight div { grid-template-columns: 4.2rem 1fr; }
  .matters li { grid-template-columns: 1.4rem 1fr; }
  .tools { position: static; }
  .tools select { max-width: 12rem; }
  .sheet { grid-template-columns: repeat(auto-fill, minmax(6.4rem, 1fr)); gap: 1rem .7rem; }
  .verdict { font-size: 1.2rem; }
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
  .overview .unknown, .overview .spare { display: none; }
  .overview td::before { content: attr(data-label); color: var(--soft); font-weight: 400; margin-right: .4em; }
}
@media screen and (max-width: ${phoneWidth}) {
  .sheet a, .sheet div { font-size: .75rem; }
  .entry { gap: .5rem; padding: 1.1rem 0 1.2rem; }
  .entry .folder { display: inline; }
  .entry .glance { columns: auto; display: flex; flex-wrap: wrap; gap: 0 .9rem; margin-top: .2rem; font-size: .8125rem; }
  .glance div { display: block; padding: 0; }
  .glance dt { margin-right: .35em; }
  .glance :is(dt, dd), .said :is(dt, dd, dd p) { display: inline; }
  .verdict { font-size: 1.125rem; }
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
  .over-time summary { display: revert; }
}
`;
