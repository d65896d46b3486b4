import type { StationView } from "../../api/index.ts";
import { hrefOf } from "../state/route.ts";

const SAYS: Readonly<Record<StationView["state"], string>> = { empty: "nothing yet", begun: "begun", waiting: "waiting", done: "done" };

/** A knot's shape says the state: open ring, half-filled, hourglass, filled. */
function Knot({ state }: { state: StationView["state"] }) {
  return (
    <svg className="knot" viewBox="0 0 20 20" aria-hidden="true">
      {state === "empty" && <circle cx="10" cy="10" r="6" fill="var(--ground)" stroke="currentColor" strokeWidth="2" />}
      {state === "begun" && (
        <>
          <circle cx="10" cy="10" r="6" fill="var(--ground)" stroke="currentColor" strokeWidth="2" />
          <path d="M10 4 A6 6 0 0 1 10 16 Z" fill="currentColor" />
        </>
      )}
      {state === "waiting" && <path d="M4 4 H16 L10 10 L16 16 H4 L10 10 Z" fill="var(--ground)" stroke="currentColor" strokeWidth="2" strokeLinejoin="round" />}
      {state === "done" && <circle cx="10" cy="10" r="7" fill="currentColor" />}
    </svg>
  );
}

/** The job's spine: a thin line with a knot a station; folds to knots alone where the screen is narrow. */
export function Spine({ slug, stations, current }: { slug: string; stations: readonly StationView[]; current: string }) {
  return (
    <nav className="spine" aria-label="Stations of the job">
      <ol>
        {stations.map((station, i) => (
          <li key={station.id}>
            <a href={hrefOf(slug, station.id)} aria-current={station.id === current ? "page" : undefined} title={`${station.name}: ${SAYS[station.state]}`}>
              <Knot state={station.state} />
              <span className="station-name">{station.name}</span>
              <span className="visually-hidden">, {SAYS[station.state]}</span>
              {station.open > 0 && <span className="open-count">{station.open}</span>}
              <kbd>{i + 1}</kbd>
            </a>
          </li>
        ))}
      </ol>
    </nav>
  );
}

/** The spine in small, for a row of the board. */
export function Knots({ stations }: { stations: readonly StationView[] }) {
  return (
    <span className="knots" role="img" aria-label={stations.map((station) => `${station.name} ${SAYS[station.state]}`).join(", ")}>
      {stations.map((station) => (
        <Knot key={station.id} state={station.state} />
      ))}
    </span>
  );
}
