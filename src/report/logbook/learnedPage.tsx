import { scaleLinear } from 'd3-scale';
import { skies } from '../../domain/daylight.ts';
import { displayText } from '../../domain/displayText.ts';
import type { LearnedReport } from '../../domain/learned.ts';
import { cautionLine } from '../dumpWording.ts';
import { shortenMiddle } from '../terminalText.ts';
import { neededText, restsOn, shareText } from './learnedText.ts';
import { needDots, needSpan, type NeedDot } from './needPlot.ts';
import { page, pageStyle } from './pageShell.tsx';

export function learnedPage(report: LearnedReport): string {
  const { sentences, cells } = report;
  const title = 'What the logbook learned';
  return page({
    title,
    style: pageStyle,
    children: (
      <>
        <h1>{title}</h1>
        {sentences.map((sentence) => (
          <p class="lead">{displayText(sentence)}</p>
        ))}
        <NeedPicture report={report} />
        {cells.length > 0 && <CellTable cells={cells} />}
        <p>{restsOn(report)}</p>
        {cells.length > 0 && <p>{cautionLine}</p>}
      </>
    ),
  });
}

const size = { width: 640, height: 380, left: 110, right: 14, top: 12, bottom: 40 };

/** Characters that fit beside the bands, on a phone too. */
const widestLabel = 8;

function NeedPicture({ report }: { readonly report: LearnedReport }) {
  const dots = needDots(report);
  if (dots.length === 0) return null;
  const span = needSpan(dots, report);
  const x = scaleLinear([...span.sunDegrees], [size.left, size.width - size.right]);
  const y = scaleLinear([...span.stops], [size.height - size.bottom, size.top]);
  const kit = [{ label: 'none', stops: 0 }, ...report.kit].filter(
    ({ stops }) => stops >= span.stops[0] && stops <= span.stops[1],
  );
  const shown = new Set(dots.map(({ sky }) => sky));
  const signs = [...skies, 'not noted' as const].filter((sky) => shown.has(sky));
  return (
    <figure>
      <figcaption>Stops needed against the height of the sun; a mark a flight</figcaption>
      <svg
        viewBox={`0 0 ${size.width} ${size.height}`}
        role="img"
        aria-label="Stops needed by height of the sun"
      >
        {kit.map(({ label, stops }) => (
          <g>
            <rect
              class="band"
              x={size.left}
              width={size.width - size.left - size.right}
              y={y(stops + bandStops)}
              height={y(stops - bandStops) - y(stops + bandStops)}
            />
            <text x={size.left - 6} y={y(stops) + 4} text-anchor="end">
              {shortenMiddle(displayText(label), widestLabel)}
            </text>
          </g>
        ))}
        {x.ticks(6).map((degrees) => (
          <text x={x(degrees)} y={size.height - size.bottom + 18} text-anchor="middle">
            {`${degrees}°`.replace('-', '\u2212')}
          </text>
        ))}
        {report.today && <Today today={report.today} x={x} y={y} />}
        {dots.map((dot) => (
          <Mark sky={dot.sky} x={x(dot.sunDegrees)} y={y(dot.neededStops)} title={dot.title} />
        ))}
        {signs.map((sky, at) => (
          <g>
            <Mark sky={sky} x={size.left + 10 + at * 102} y={size.height - 8} title={sky} />
            <text x={size.left + 19 + at * 102} y={size.height - 4}>
              {sky}
            </text>
          </g>
        ))}
      </svg>
    </figure>
  );
}

/** Within this of what was needed, a filter lands: half the window and the shutter's tolerance. */
const bandStops = 0.45;

interface TodayProps {
  readonly today: NonNullable<LearnedReport['today']>;
  readonly x: (degrees: number) => number;
  readonly y: (stops: number) => number;
}

function Today({ today, x, y }: TodayProps) {
  const [low, , high] = today.neededStops;
  const at = x(today.sunElevationDegrees);
  return (
    <g>
      <title>{`today${today.place === undefined ? '' : ` at ${displayText(today.place)}`}: nine of ten`}</title>
      <line class="today" x1={at} x2={at} y1={y(low)} y2={y(high)} />
      <text x={at + 6} y={y(high) + 12}>
        today
      </text>
    </g>
  );
}

function Mark({ sky, x, y, title }: { sky: NeedDot['sky']; x: number; y: number; title: string }) {
  const shape = {
    clear: <circle class="mark" cx={x} cy={y} r="4.5" />,
    haze: <path class="mark" d={`M${x - 5} ${y}h10M${x} ${y - 5}v10`} />,
    cloud: <path class="mark" d={`M${x - 4} ${y - 4}l8 8M${x + 4} ${y - 4}l-8 8`} />,
    overcast: <rect class="mark" x={x - 4} y={y - 4} width="8" height="8" />,
    'not noted': <path class="mark" d={`M${x} ${y - 5}l5 9h-10z`} />,
  }[sky];
  return (
    <g>
      <title>{displayText(title)}</title>
      {shape}
    </g>
  );
}

function CellTable({ cells }: Pick<LearnedReport, 'cells'>) {
  return (
    <table>
      <thead>
        <tr>
          {['sun', 'sky', 'recordings', 'needed (stops)', 'mostly fitted', 'landed'].map((head) => (
            <th scope="col">{head}</th>
          ))}
        </tr>
      </thead>
      <tbody>
        {cells.map((cell) => (
          <tr>
            <th scope="row">{cell.sun}</th>
            <td>{cell.sky}</td>
            <td>{cell.recordings}</td>
            <td>{neededText(cell)}</td>
            <td>{cell.fitted === undefined ? '·' : displayText(cell.fitted.label)}</td>
            <td>{cell.fitted === undefined ? '·' : shareText(cell.fitted.landed)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
