import type { ComponentChildren } from 'preact';
import { displayText } from '../../domain/displayText.ts';
import { counted, formatStops } from '../../domain/format.ts';
import type { FilterGroup, FilterStrength, LearnedFilter, LearnedReport } from '../../domain/learned.ts';
import { page } from './pageShell.tsx';

const style = `
:root { color-scheme: light dark; --paper: #faf9f5; --ink: #1f262b; --soft: #59636b; --line: #dddad1; --bar: #2d4a63; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #14181b; --ink: #e4e6e3; --soft: #9ea9ae; --line: #323a3f; --bar: #a9c7e0; }
}
* { box-sizing: border-box; margin: 0; padding: 0; }
body { background: var(--paper); color: var(--ink); font: 1rem/1.5 ui-sans-serif, system-ui, sans-serif; }
main { max-width: 60rem; margin: 0 auto; padding: 2.5rem 1.5rem; }
h1, h2 { font-family: ui-serif, Georgia, serif; font-weight: 600; line-height: 1.25; }
h2 { font-size: 1.2rem; margin: 2.2rem 0 .6rem; }
p { color: var(--soft); max-width: 46rem; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; font-variant-numeric: tabular-nums; font-size: .9375rem; }
th { text-align: left; font-weight: 500; color: var(--soft); font-size: .8125rem; }
tbody th { color: var(--ink); font-size: .9375rem; }
th, td { padding: .35rem .9rem .35rem 0; border-bottom: 1px solid var(--line); }
svg { display: block; width: 100%; height: 20px; overflow: visible; }
.bar { height: 6px; margin-top: .15rem; }
svg .axis { stroke: var(--line); }
svg .range { stroke: var(--bar); stroke-width: 2; }
svg circle, svg .share { fill: var(--bar); }
svg .expected { stroke: var(--soft); stroke-dasharray: 2 2; }
@media screen and (max-width: 34rem) {
  main { padding: 1.5rem 1.1rem; }
  th, thead th { font-size: .75rem; }
  th, td { padding-right: .4rem; }
  tbody th { font-size: .8125rem; }
  td { font-size: .75rem; white-space: nowrap; }
  th:last-child, td:last-child { text-align: right; padding-right: 0; }
}
@page { margin: 15mm; }
@media print { main { padding: 0; max-width: none; } tr { break-inside: avoid; } h2 { break-after: avoid; } }
`;

export function learnedPage(report: LearnedReport): string {
  const { flights, recordings, filters, strengths, scene } = report;
  const title = 'What the logbook learned';
  return page({
    title,
    style,
    children: (
      <>
        <h1>{title}</h1>
        <p>{`${counted(flights, 'flight')}, ${counted(recordings, 'recording')}.`}</p>
        {filters.map((filter) => (
          <FilterSection filter={filter} />
        ))}
        {strengths.length > 0 && <Strengths strengths={strengths} />}
        {scene.effects.length > 0 && <Light effects={scene.effects} />}
      </>
    ),
  });
}

function FilterSection({ filter }: { readonly filter: LearnedFilter }) {
  const rows: readonly FilterGroup[] = [
    { ...filter, by: 'light', value: 'all', recordings: filter.clips + filter.stills },
    ...filter.groups,
    ...(filter.trend.length > 1 ? filter.trend : []),
  ];
  const better = filter.better
    .slice(0, 3)
    .map(({ label, recordings }) => `${displayText(label)} for ${recordings}`);
  return (
    <section>
      <h2>{filter.label === 'none' ? 'No filter' : displayText(filter.label)}</h2>
      <p>
        {counted(filter.flights, 'flight')}
        {better.length === 0 ? '' : `; better would have been ${better.join(', ')}`}.
      </p>
      <table>
        <thead>
          <tr>
            {['', 'recordings', 'shutter on', 'exposure right', 'miss (stops)'].map((head) => (
              <th scope="col">{head}</th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ value, recordings, shutter, exposure, missStops }) => (
            <tr>
              <th scope="row">{value}</th>
              <td>{recordings}</td>
              <td>
                <ShareBar of={shutter.of} right={shutter.right} />
              </td>
              <td>
                <ShareBar of={exposure.of} right={exposure.right} />
              </td>
              <td>{missStops === undefined ? '·' : formatStops(missStops)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Strengths({ strengths }: { readonly strengths: readonly FilterStrength[] }) {
  const about =
    'From recordings under the same light minutes apart. The dot is what was found, the line holds the ' +
    'truth with 95%, the middle is the label. Advice uses what is marked.';
  return (
    <Ranges title="True strength against the label" about={about}>
      {strengths.map(({ label, labelStops, stops, interval: [low, high], pairs, supported }) => (
        <tr>
          <th scope="row">{`${displayText(label)}${supported ? ', used' : ''}`}</th>
          <td>{`${formatStops(stops - labelStops)} stops, ${counted(pairs, 'pair')}`}</td>
          <td>
            <RangePlot at={stops - labelStops} low={low - labelStops} high={high - labelStops} reach={1} />
          </td>
        </tr>
      ))}
    </Ranges>
  );
}

function Light({ effects }: Pick<LearnedReport['scene'], 'effects'>) {
  const about =
    'The dot is what was learned, the line holds it with 90%, the dashed mark is what was expected.';
  return (
    <Ranges title="Light against published daylight" about={about}>
      {effects.map(({ name, priorStops, learnedStops, interval: [low, high], observations }) => (
        <tr>
          <th scope="row">{displayText(name)}</th>
          <td>{`${formatStops(learnedStops)} stops, ${counted(observations, 'recording')}`}</td>
          <td>
            <RangePlot at={learnedStops} low={low} high={high} reach={4} expected={priorStops} />
          </td>
        </tr>
      ))}
    </Ranges>
  );
}

interface RangesProps {
  readonly title: string;
  readonly about: string;
  readonly children: ComponentChildren;
}

function Ranges({ title, about, children }: RangesProps) {
  return (
    <section>
      <h2>{title}</h2>
      <p>{about}</p>
      <table>
        <tbody>{children}</tbody>
      </table>
    </section>
  );
}

const barUnits = 100;

function ShareBar({ of, right }: { readonly of: number; readonly right: number }) {
  if (of === 0) return <>·</>;
  const share = Math.round((barUnits * right) / of);
  const label = `${share}% of ${of}`;
  return (
    <>
      {label}
      <svg class="bar" viewBox={`0 0 ${barUnits} 6`} preserveAspectRatio="none" role="img" aria-label={label}>
        <line class="axis" x1="0" x2={barUnits} y1="3" y2="3" />
        <rect class="share" x="0" y="1" width={share} height="4" />
      </svg>
    </>
  );
}

interface RangePlotProps {
  readonly at: number;
  readonly low: number;
  readonly high: number;
  /** Stops from the middle to either end. */
  readonly reach: number;
  readonly expected?: number;
}

function RangePlot({ at, low, high, reach, expected = 0 }: RangePlotProps) {
  const x = (stops: number) => 100 + (100 * Math.min(reach, Math.max(-reach, stops))) / reach;
  const label = `${formatStops(at)} stops, from ${formatStops(low)} to ${formatStops(high)}`;
  return (
    <svg viewBox="0 0 200 20" role="img" aria-label={label}>
      <line class="axis" x1="0" x2="200" y1="10" y2="10" />
      <line class="expected" x1={x(expected)} x2={x(expected)} y1="2" y2="18" />
      <line class="range" x1={x(low)} x2={x(high)} y1="10" y2="10" />
      <circle cx={x(at)} cy="10" r="3.5" />
    </svg>
  );
}
