import { lazy, type ReactNode, Suspense, useState } from "react";
import { type JobDesk, useJob } from "../state/job.ts";
import { go, hrefOf, type Route } from "../state/route.ts";
import { applyTheme, themeChoice } from "../state/theme.ts";
import { DropZone } from "./drop-zone.tsx";
import { useKeys } from "./keys.tsx";
import { Spine } from "./spine.tsx";
import { TopBar } from "./top-bar.tsx";

/** What a station gets: the job, where it was asked to look, and a way to put things into the margin beside it. */
export interface StationProps {
  readonly desk: JobDesk;
  readonly query: URLSearchParams;
  /** Shows evidence, a why or a note beside its subject; undefined folds the margin away. */
  readonly toMargin: (content: ReactNode | undefined) => void;
}

// A station's code is fetched when it is first opened, so that the board comes up at once.
const STATIONS: Readonly<Record<string, ReturnType<typeof lazy<(props: StationProps) => ReactNode>>>> = {
  intake: lazy(() => import("../stations/intake.tsx")),
  reading: lazy(() => import("../stations/reading.tsx")),
  inspection: lazy(() => import("../stations/inspection.tsx")),
  recordings: lazy(() => import("../stations/recordings.tsx")),
  diagnosis: lazy(() => import("../stations/diagnosis.tsx")),
  "change-sheet": lazy(() => import("../stations/change-sheet.tsx")),
  pulls: lazy(() => import("../stations/pulls.tsx")),
  handover: lazy(() => import("../stations/handover.tsx")),
};

export function JobPage({ route, isDemo }: { route: Route; isDemo: boolean }) {
  const desk = useJob(route.slug);
  const [margin, setMargin] = useState<ReactNode>();
  const { job, underWay } = desk;
  const toStation = (i: number) => (): void => {
    const station = job?.stations[i];
    if (station !== undefined) go(hrefOf(route.slug, station.id));
  };
  const stepBack = (): void => {
    if (margin !== undefined) setMargin(undefined);
    else if (underWay !== undefined) void desk.cancel();
  };
  useKeys({
    ...Object.fromEntries(Array.from({ length: 8 }, (_, i) => [String(i + 1), toStation(i)])),
    g: () => go("#/"),
    u: () => void desk.undo(),
    "Shift u": () => void desk.redo(),
    t: () => applyTheme(themeChoice() === "bay" ? "paper" : "bay"),
    Escape: stepBack,
  });
  const Station = STATIONS[route.station] ?? STATIONS.intake!;
  return (
    <DropZone desk={desk}>
      {(bring) => (
        <div className="job-page" data-idle={underWay === undefined && job !== undefined ? "yes" : "no"}>
          <TopBar title={job?.title ?? ""} under={job?.vehicle} back="#/" mark={isDemo ? "Demo" : undefined}>
            <button
              type="button"
              onClick={() => void desk.undo()}
              disabled={job?.undo === undefined}
              title={job?.undo === undefined ? "Nothing to undo" : `Take back ${job.undo}`}
            >
              Undo
            </button>
            <button
              type="button"
              onClick={() => void desk.redo()}
              disabled={job?.redo === undefined}
              title={job?.redo === undefined ? "Nothing to bring back" : `Bring back ${job.redo}`}
            >
              Redo
            </button>
            {bring}
          </TopBar>
          {job !== undefined && <Spine slug={route.slug} stations={job.stations} current={route.station} />}
          <main id="station">
            {desk.problem !== undefined && (
              <p className="problem" role="alert">
                {desk.problem}{" "}
                <button type="button" onClick={desk.dismissProblem}>
                  Put away
                </button>
              </p>
            )}
            {job !== undefined && (
              <Suspense fallback={<p className="teach opening">Opening the station.</p>}>
                <Station desk={desk} query={route.query} toMargin={setMargin} />
              </Suspense>
            )}
          </main>
          {margin !== undefined && (
            <aside className="margin" aria-label="Beside it">
              <button type="button" className="close" onClick={() => setMargin(undefined)}>
                Close
              </button>
              {margin}
            </aside>
          )}
          {underWay !== undefined && <UnderWay text={underWay.text} share={underWay.share} cancel={() => void desk.cancel()} />}
        </div>
      )}
    </DropZone>
  );
}

/** The strip at the foot: only what is under way, with a cancel that works. */
function UnderWay({ text, share, cancel }: { text: string; share: number; cancel: () => void }) {
  return (
    <div className="under-way" role="status">
      <span>{text}</span>
      <progress max={1} value={share} aria-label={text} />
      <button type="button" onClick={cancel}>
        Cancel
      </button>
    </div>
  );
}
