import { useEffect, useState } from "react";
import type { ComebackView, MovedView, SignatureView } from "../../api/index.ts";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { hrefOf } from "../state/route.ts";
import { type Shown, useUnits } from "../state/units.ts";
import { tidy } from "../widgets/table-pictures.ts";

/** A vehicle that was here before, held against how it left. Nothing where no earlier job on it kept that. */
export function SinceDeparture({ desk }: { desk: JobDesk }) {
  const [visits, setVisits] = useState<SignatureView["visits"]>([]);
  const [comeback, setComeback] = useState<ComebackView | null>();
  const { slug, analysis } = desk;
  useEffect(() => {
    client.signature(slug).then(
      (view) => setVisits(view.visits),
      () => setVisits([]),
    );
  }, [slug]);
  const key = analysis?.key;
  useEffect(() => {
    setComeback(undefined);
    if (visits.length === 0 || key === undefined) return;
    client.comeback(slug).then(setComeback, () => setComeback(null));
  }, [slug, visits, key]);
  if (visits.length === 0 || comeback === null) return null;
  if (comeback === undefined)
    return (
      <section aria-busy="true">
        <h2>Since it left</h2>
        <p className="soft">This vehicle was here before. Holding the new drive against the last…</p>
      </section>
    );
  return <Compared comeback={comeback} desk={desk} />;
}

/** From so many spreads on a figure is worth a row. */
const WORTH_A_ROW = 1;
const WORTH_NAMING = 0.02;

function Compared({ comeback, desk }: { comeback: ComebackView; desk: JobDesk }) {
  const units = useUnits();
  const rows = comeback.moved.filter((moved) => Math.abs(moved.spreads) >= WORTH_A_ROW);
  const still = comeback.moved.length - rows.length;
  const [leader] = comeback.suspects;
  const { earlier, couldNot } = comeback;
  return (
    <section className="since-departure">
      <h2>Since it left</h2>
      <p>
        {leader?.fault === "healthy" ? "Nothing that moved since speaks for a fault" : `What moved since speaks for: ${leader?.title}`} (
        {Math.round(100 * (leader?.probability ?? 0))} %).{" "}
        {comeback.suspects
          .slice(1, 3)
          .filter((suspect) => suspect.probability >= WORTH_NAMING)
          .map((suspect) => `Then: ${suspect.title} (${Math.round(100 * suspect.probability)} %). `)}
        {tablesSentence(comeback)} It left with <a href={hrefOf(earlier.job, "handover")}>{earlier.title}</a> on {new Date(earlier.at).toLocaleDateString()}.
      </p>
      {rows.length === 0 ? (
        <p>None of {still} figures moved by more than one spread.</p>
      ) : (
        <table className="figures">
          <thead>
            <tr>
              <th scope="col">What moved</th>
              <th scope="col">As it left</th>
              <th scope="col">Now</th>
              <th scope="col">By</th>
              <th scope="col">Spreads</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((moved) => (
              <MovedRow key={moved.id} moved={moved} shown={units(moved.unit)} desk={desk} />
            ))}
          </tbody>
        </table>
      )}
      {rows.length > 0 && still > 0 && <p className="soft">{still} more figures moved by less than one spread.</p>}
      {couldNot.length > 0 && (
        <details>
          <summary>What could not be compared</summary>
          <ul>
            {couldNot.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

function MovedRow({ moved, shown, desk }: { moved: MovedView; shown: Shown; desk: JobDesk }) {
  const recording = moved.fromS === undefined ? undefined : desk.analysis?.recordings.find((view) => view.file === moved.recording);
  const text = (value: number | undefined): string => (value === undefined ? "" : tidy(shown.show(value)));
  const by = shown.show(moved.by) - shown.show(0);
  return (
    <tr>
      <th scope="row">
        {recording === undefined ? (
          moved.title
        ) : (
          <a href={hrefOf(desk.slug, "recordings", { r: String(recording.index), from: String(moved.fromS), to: String(moved.toS) })}>{moved.title}</a>
        )}
      </th>
      <td className="figure">{text(moved.atHandover)}</td>
      <td className="figure">{text(moved.onReturn)}</td>
      <td className="figure">
        {by < 0 ? "−" : "+"}
        {tidy(Math.abs(by))} {shown.unit}
      </td>
      <td className="figure">
        {moved.spreads < 0 ? "−" : "+"}
        {Math.abs(moved.spreads).toFixed(1)}
      </td>
    </tr>
  );
}

function tablesSentence({ ours, calibration, basis }: ComebackView): string {
  if (ours !== null) return `The tables in it are ours still, revision ${ours}, cell for cell.`;
  if (calibration.verdict === "not known") return "Whose tables are in it is not known: bring what was read from the controller.";
  const titles = calibration.changed.map((edit) => edit.table).join(", ");
  const who = calibration.verdict === "as the reference again" ? "The reference's tables are back in it" : "Somebody changed its tables since";
  return `${who}: ${titles}.${basis === "moved since" ? "" : " Residuals belong to other tables now, so this rests on the new drive alone."}`;
}
