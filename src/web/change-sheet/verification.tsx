import { useEffect, useState } from "react";
import type { VerificationView } from "../../api/index.ts";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { ErrorMarks, errorText, reachOf } from "./error-marks.tsx";
import { midSentence } from "./sheet-table.ts";

const VERDICTS: Readonly<Record<VerificationView["verdict"], string>> = {
  verified: "converged",
  "not yet": "not there yet",
  worse: "worse than before",
  "not driven": "not driven",
};

/** The verification of one revision, asked for again when something was brought or made. */
export function useVerification(desk: JobDesk, revision: number | undefined): VerificationView | null | undefined {
  const [view, setView] = useState<VerificationView | null>();
  const state = `${desk.analysis?.key} ${desk.job?.files.length ?? 0}`;
  // biome-ignore lint/correctness/useExhaustiveDependencies: what was brought since is what makes the answer another.
  useEffect(() => {
    let isOver = false;
    if (revision === undefined || revision === 0) return setView(null);
    client.verification(desk.slug, revision).then(
      (answer) => !isOver && setView(answer),
      () => !isOver && setView(null),
    );
    return () => {
      isOver = true;
    };
  }, [desk.slug, revision, state]);
  return view;
}

/** In one sentence: what became of a revision's promise. */
export function verdictWords(view: VerificationView): string {
  const name = `Revision ${view.revision}`;
  if (view.verdict === "not driven")
    return `${name} was not driven yet. Bring the next recording as made with it, and its promise is held against what is seen.`;
  const words = view.tables.filter((table) => table.verdict !== "not driven").map((table) => `${midSentence(table.title)} ${VERDICTS[table.verdict]}`);
  return `${name} was driven: ${words.join(", ")}.`;
}

/** Predicted against seen, by table and region. */
export function Verification({ view }: { view: VerificationView }) {
  const silent = view.tables.filter((table) => table.regions.length === 0);
  return (
    <section aria-labelledby="verified-title" className="verification">
      <h2 id="verified-title">Did revision {view.revision} do what it promised?</h2>
      <p>{verdictWords(view)}</p>
      {view.tables
        .filter((table) => table.regions.length > 0)
        .map((table) => (
          <VerifiedTable key={table.role} table={table} />
        ))}
      {silent.length > 0 && <p>Not driven long enough to tell: {silent.map((table) => midSentence(table.title)).join(", ")}.</p>}
      {view.couldNot.length > 0 && (
        <ul className="because">
          {view.couldNot.map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      )}
    </section>
  );
}

function VerifiedTable({ table }: { table: VerificationView["tables"][number] }) {
  const reach = reachOf(
    table.regions.flatMap((region) => [region.before, region.predicted, region.observed]),
    table.regions.map((region) => region.tolerance),
  );
  return (
    <table className="figures regions">
      <caption>
        <strong>
          {table.title}: {VERDICTS[table.verdict]}
        </strong>
        . Mean error [{table.unit === "share" ? "%" : "g/s"}]: ring before, dot promised, diamond seen; right within the tint.
      </caption>
      <thead>
        <tr>
          <th scope="col">Region</th>
          <th scope="col">Before</th>
          <th scope="col">Promised</th>
          <th scope="col">Seen</th>
          <th scope="col" className="marks">
            <span className="visually-hidden">Picture</span>
          </th>
          <th scope="col" className="word">
            So it is
          </th>
        </tr>
      </thead>
      <tbody>
        {table.regions.map((region) => (
          <tr key={region.region}>
            <th scope="row">{region.region}</th>
            <td>{errorText(region.before, table.unit)}</td>
            <td>{errorText(region.predicted, table.unit)}</td>
            <td>{errorText(region.observed, table.unit)}</td>
            <td className="marks">
              <ErrorMarks {...region} reach={reach} />
            </td>
            <td className="word">{VERDICTS[region.verdict]}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
