import { useEffect, useState } from "react";
import type { PromiseView, ReplayPartView } from "../../api/index.ts";
import { profile } from "../../drawing/index.ts";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { Figure } from "../widgets/picture.tsx";
import { ErrorMarks, errorText, reachOf } from "./error-marks.tsx";
import { isWideScreen } from "./wide-screen.ts";

const PARTS = {
  fuel: { name: "Fuel", what: "mixture error", title: "Real mixture against the one assumed" },
  air: { name: "Air", what: "disagreement of meter and speed-density", title: "Metered air against speed-density air" },
} as const;

export interface Replay {
  /** Whether what is decided was replayed, or, while nothing is, all that is asked for. */
  readonly of: "asked" | "decided";
  /** null: it would change nothing; undefined: not known yet. */
  readonly promise: PromiseView | null | undefined;
  /** A decision was taken since; the answer to it is on its way. */
  readonly isBusy: boolean;
  readonly problem: string;
}

/** The recorded drive replayed with the tables as decided, again after each decision. */
export function useReplay(desk: JobDesk): Replay {
  const of = (desk.job?.decisions.length ?? 0) === 0 ? "asked" : "decided";
  const state = `${desk.analysis?.key} ${of} ${desk.job?.decisions.at(-1)?.number ?? 0} ${desk.job?.revisions.length ?? 0}`;
  const [kept, setKept] = useState<{ readonly state: string; readonly promise: PromiseView | null }>();
  const [problem, setProblem] = useState("");
  useEffect(() => {
    let isOver = false;
    client.promise(desk.slug, of).then(
      (promise) => {
        if (isOver) return;
        setKept({ state, promise });
        setProblem("");
      },
      (error: Error) => !isOver && setProblem(error.message),
    );
    return () => {
      isOver = true;
    };
  }, [desk.slug, of, state]);
  return { of, promise: kept?.promise, isBusy: problem === "" && kept?.state !== state, problem };
}

/** What would be left of the errors over the recorded drive, before anyone drives. */
export function ReplayPanel({ replay }: { replay: Replay }) {
  const { of, promise, isBusy, problem } = replay;
  const [part, setPart] = useState<ReplayPartView["id"]>("fuel");
  const shown = promise?.parts.find((one) => one.id === part) ?? promise?.parts[0];
  return (
    <section className="replay" aria-labelledby="replay-title" aria-busy={isBusy}>
      <h3 id="replay-title">The drive replayed</h3>
      {problem !== "" && <p className="problem">{problem}</p>}
      {promise === undefined && problem === "" && <p className="soft">Replaying the recorded drive.</p>}
      {promise === null && <p className="soft">{of === "asked" ? "Nothing is asked for, so nothing would change." : "The decisions so far change no cell."}</p>}
      {promise !== undefined && promise !== null && shown === undefined && (
        <p className="soft">The recorded drive holds too few steady samples, or no mixture, to tell what would change.</p>
      )}
      {promise !== undefined && promise !== null && shown !== undefined && (
        <>
          <p role="status">
            {of === "asked" ? "With all that is asked for" : "With the decisions so far"}, the {PARTS[shown.id].what} over the recorded drive{" "}
            {moved(shown.rmsBefore, shown.rmsAfter)}.
          </p>
          {promise.parts.length > 1 && (
            <div className="segments" role="radiogroup" aria-label="Part of the replay">
              {promise.parts.map((one) => (
                <label key={one.id}>
                  <input type="radio" name="part" checked={one.id === shown.id} onChange={() => setPart(one.id)} />
                  <span>{PARTS[one.id].name}</span>
                </label>
              ))}
            </div>
          )}
          <Figure picture={partPicture(shown)} />
        </>
      )}
    </section>
  );
}

/** What is promised of one table, by region. */
export function PromisedRegions({ replay, role }: { replay: Replay; role: string }) {
  const table = replay.promise?.tables.find((one) => one.role === role);
  const regions = (table?.regions ?? []).filter((region) => region.before !== null);
  if (table === undefined || regions.length === 0) return null;
  const reach = reachOf(
    regions.flatMap((region) => [region.before, region.predicted]),
    regions.map((region) => region.tolerance),
  );
  return (
    <table className="figures regions">
      <caption>Mean error by region [{table.unit === "share" ? "%" : "g/s"}]: ring as recorded, dot as replayed; right within the tint.</caption>
      <thead>
        <tr>
          <th scope="col">Region</th>
          <th scope="col">Recorded</th>
          <th scope="col">Replayed</th>
          <th scope="col" className="marks">
            <span className="visually-hidden">Picture</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {regions.map((region) => (
          <tr key={region.region}>
            <th scope="row">{region.region}</th>
            <td>{errorText(region.before, table.unit)}</td>
            <td>{errorText(region.predicted, table.unit)}</td>
            <td className="marks">
              <ErrorMarks before={region.before} predicted={region.predicted} observed={null} tolerance={region.tolerance} reach={reach} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function partPicture(part: ReplayPartView) {
  const percent = (of: (bin: ReplayPartView["bins"][number]) => number): number[] => part.bins.map((bin) => 100 * Math.expm1(of(bin)));
  return profile({
    id: `replay-${part.id}`,
    title: PARTS[part.id].title,
    caption: `${PARTS[part.id].title}, by airflow: dashed as recorded, solid replayed, the band nine samples of ten.`,
    widthPx: isWideScreen() ? 600 : 430,
    heightPx: 270,
    x: { name: "Airflow", unit: "g/s", values: part.bins.map((bin) => bin.airflowGps) },
    y: { name: "Error", unit: "%" },
    lines: [
      {
        label: "",
        before: percent((bin) => bin.before),
        after: percent((bin) => bin.after),
        low: percent((bin) => bin.afterLow),
        high: percent((bin) => bin.afterHigh),
      },
    ],
  });
}

function moved(before: number, after: number): string {
  const [from, to] = [before, after].map((value) => (100 * value).toFixed(1));
  if (from === to) return `stays at ${from} %`;
  return after < before ? `falls from ${from} to ${to} %` : `rises from ${from} to ${to} %`;
}
