import { displayText } from '../../domain/displayText.ts';
import { formatAperture } from '../../domain/format.ts';
import type { PlannedExposure, PlanReport } from '../../domain/planReport.ts';
import { page } from './pageShell.tsx';
import { headedExposures, basisSentence, heightText, percent, timeSentence } from './planText.ts';

/** One sheet for the filter case: dark figures on white, readable in the sun, nothing that needs ink. */
const style = `
* { box-sizing: border-box; margin: 0; padding: 0; }
body { background: #fff; color: #111; font: 11pt/1.4 ui-sans-serif, system-ui, sans-serif; }
main { max-width: 46rem; margin: 0 auto; padding: 1.5rem; }
h1 { font: 600 16pt/1.2 ui-serif, Georgia, serif; margin-bottom: .3rem; }
p { color: #444; font-size: 9.5pt; }
table { border-collapse: collapse; width: 100%; margin: .9rem 0; font-variant-numeric: tabular-nums; }
th { text-align: left; font-weight: 500; font-size: 9pt; color: #444; vertical-align: bottom; }
th, td { padding: .3rem .5rem .3rem 0; border-bottom: 1px solid #bbb; }
tbody th { font-size: 11pt; color: #111; white-space: nowrap; vertical-align: baseline; }
td b { font-size: 12.5pt; font-weight: 650; }
td span { color: #555; font-size: 8.5pt; padding-left: .3rem; }
td.swap b { text-decoration: underline; text-underline-offset: .2em; }
@media screen and (max-width: 34rem) { main { padding: 1rem; } td span { display: block; padding: 0; } }
@page { margin: 12mm; }
@media print { main { padding: 0; max-width: none; } tr { break-inside: avoid; } }
`;

/** A card for one page: rows are clock times or heights of the sun, columns what is shot. */
export function fieldCard(plan: PlanReport): string {
  const { moments, place, sky, fNumber, iso } = plan;
  const headed = headedExposures(plan.exposures);
  const byClock = moments[0]?.clock !== undefined;
  const title = ['Filters', place === undefined ? undefined : displayText(place)]
    .filter((part) => part !== undefined)
    .join(' · ');
  return page({
    title,
    style,
    children: (
      <>
        <h1>{title}</h1>
        <p>
          {`Sky ${sky ?? 'not known'}, ${formatAperture(fNumber)}, ISO ${iso}. The filter to fit, and the chance that shutter and exposure land.`}
        </p>
        <table>
          <thead>
            <tr>
              <th scope="col">{byClock ? 'Time' : 'Sun above the horizon'}</th>
              {headed.map(({ heading }) => (
                <th scope="col">{heading.replace(/ (?=s$)/, '\u00a0')}</th>
              ))}
            </tr>
          </thead>
          <tbody>
            {moments.map(({ clock, elevationDegrees }, at) => (
              <tr>
                <th scope="row">{clock ?? heightText(elevationDegrees)}</th>
                {headed.map(({ exposure }) => (
                  <Cell exposure={exposure} at={at} byClock={byClock} />
                ))}
              </tr>
            ))}
          </tbody>
        </table>
        <p>{[basisSentence(plan), timeSentence(plan), cautions].filter(Boolean).join(' ')}</p>
      </>
    ),
  });
}

const cautions =
  'Power the aircraft down before you touch a filter. A filter is no solar viewer. Local rules come first.';

interface CellProps {
  readonly exposure: PlannedExposure;
  readonly at: number;
  readonly byClock: boolean;
}

/** A swap is underlined, so that it shows without colour. */
function Cell({ exposure, at, byClock }: CellProps) {
  const { label, probability } = exposure.moments[at]!;
  const before = exposure.moments[at - 1];
  const swap = byClock && before !== undefined && before.label !== label;
  return (
    <td class={swap ? 'swap' : undefined}>
      <b>{displayText(label)}</b>
      <span>{percent(probability)}</span>
    </td>
  );
}
