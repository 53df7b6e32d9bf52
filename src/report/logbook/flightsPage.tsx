import { line } from 'd3-shape';
import { scaleLinear } from 'd3-scale';
import { displayText } from '../../domain/displayText.ts';
import { counted } from '../../domain/format.ts';
import type { LearnedFlight, LearnedReport } from '../../domain/learned.ts';
import { shareText } from './learnedText.ts';
import { page, pageStyle } from './pageShell.tsx';
import { heightText } from './planSheet.tsx';

/** All flights: whether the choices land more often, and what each card needed and got. */
export function flightsPage({ flights, recordings }: LearnedReport): string {
  const title = 'The logbook';
  const ordered = flights.toSorted((a, b) => ((a.startedAt ?? '') < (b.startedAt ?? '') ? -1 : 1));
  return page({
    title,
    style: pageStyle,
    children: (
      <>
        <h1>{title}</h1>
        <p>{`${counted(flights.length, 'flight')}, ${counted(recordings, 'recording')}. Landed: the shutter was on and the exposure in its window.`}</p>
        <Trend flights={ordered} />
        <table>
          <thead>
            <tr>
              {['no.', 'flight', 'place', 'sky', 'sun', 'needed (stops)', 'fitted', 'landed'].map((head) => (
                <th scope="col">{head}</th>
              ))}
            </tr>
          </thead>
          <tbody>
            {ordered.toReversed().map((flight) => (
              <FlightRow flight={flight} />
            ))}
          </tbody>
        </table>
      </>
    ),
  });
}

function FlightRow({ flight }: { readonly flight: LearnedFlight }) {
  const { flightId, startedAt, place, sky, sunElevationDegrees, neededStops, fittedLabel, landed } = flight;
  const sun = sunElevationDegrees === undefined ? '·' : heightText(sunElevationDegrees);
  const fitted = fittedLabel === undefined ? '·' : displayText(fittedLabel);
  return (
    <tr>
      <td>{flightId}</td>
      <th scope="row">{startedAt?.slice(0, 10) ?? '·'}</th>
      <td>{place === undefined ? '·' : displayText(place)}</td>
      <td>{sky ?? '·'}</td>
      <td>{sun}</td>
      <td>{neededStops?.toFixed(1) ?? '·'}</td>
      <td>{flight.contradictedStops === undefined ? fitted : `${fitted}?`}</td>
      <td>{shareText(landed)}</td>
    </tr>
  );
}

/** As many flights make a point of the trend: one alone tells of its light. */
const flightsPerPoint = 5;
const size = { width: 640, height: 180, left: 64, right: 10, top: 10, bottom: 24 };

function Trend({ flights }: { readonly flights: readonly LearnedFlight[] }) {
  const judged = flights.filter(({ landed }) => landed.of > 0);
  if (judged.length < 2 * flightsPerPoint) return null;
  const points = judged.slice(flightsPerPoint - 1).map((_, at) => {
    const those = judged.slice(at, at + flightsPerPoint);
    const of = those.reduce((sum, { landed }) => sum + landed.of, 0);
    return those.reduce((sum, { landed }) => sum + landed.right, 0) / of;
  });
  const x = scaleLinear([0, points.length - 1], [size.left, size.width - size.right]);
  const y = scaleLinear([0, 1], [size.height - size.bottom, size.top]);
  const path = line<number>(
    (_, at) => x(at),
    (share) => y(share),
  )(points);
  return (
    <figure>
      <figcaption>{`Share that landed, over ${flightsPerPoint} flights each`}</figcaption>
      <svg
        viewBox={`0 0 ${size.width} ${size.height}`}
        role="img"
        aria-label="Share that landed, flight by flight"
      >
        {[0, 0.5, 1].map((share) => (
          <g>
            <line class="axis" x1={size.left} x2={size.width - size.right} y1={y(share)} y2={y(share)} />
            <text x={size.left - 6} y={y(share) + 4} text-anchor="end">{`${100 * share}%`}</text>
          </g>
        ))}
        <path class="trend" d={path ?? ''} />
        <text x={size.left} y={size.height - 6}>
          {judged[flightsPerPoint - 1]!.startedAt?.slice(0, 10) ?? ''}
        </text>
        <text x={size.width - size.right} y={size.height - 6} text-anchor="end">
          {judged.at(-1)!.startedAt?.slice(0, 10) ?? ''}
        </text>
      </svg>
    </figure>
  );
}
