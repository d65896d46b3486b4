import { useEffect, useState } from "react";
import type { ComebackView, MovedView, SignatureView } from "../../api/index.ts";
import { shifts } from "../../drawing/index.ts";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { hrefOf } from "../state/route.ts";
import { type Shown, useUnits } from "../state/units.ts";
import { Figure } from "../widgets/picture.tsx";
import { tidy } from "../widgets/table-pictures.ts";

/** A vehicle that was here before, held against how it left. Nothing where no earlier job on it kept that. */
export function SinceDeparture({ desk }: { desk: JobDesk }) {
  const [visits, setVisits] = useState<SignatureView["visits"]>([]);
  const [comeback, setComeback] = useState<ComebackView | null>();
  const [problem, setProblem] = useState<string>();
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
    setProblem(undefined);
    if (visits.length === 0 || key === undefined) return;
    client.comeback(slug).then(setComeback, (error: unknown) => setProblem(error instanceof Error ? error.message : String(error)));
  }, [slug, visits, key]);
  if (visits.length === 0 || comeback === null) return null;
  if (problem !== undefined)
    return (
      <section>
        <h2>Since it left</h2>
        <p role="alert">The new drive could not be held against the last: {problem}</p>
      </section>
    );
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
const MOST_DRAWN = 10;
/** A figure that a sound vehicle stays within, nineteen times of twenty. */
const ORDINARY_SPREADS = 2;

function Compared({ comeback, desk }: { comeback: ComebackView; desk: JobDesk }) {
  const units = useUnits();
  const rows = comeback.moved.filter((moved) => Math.abs(moved.spreads) >= WORTH_A_ROW);
  const still = comeback.moved.length - rows.length;
  const [leader] = comeback.suspects;
  const { earlier, conditions, couldNot } = comeback;
  return (
    <section className="since-departure">
      <h2>Since it left</h2>
      <p>
        {verdict(leader, comeback.basis)} ({Math.round(100 * (leader?.probability ?? 0))} %).{" "}
        {comeback.suspects
          .slice(1, 3)
          .filter((suspect) => suspect.probability >= WORTH_NAMING)
          .map((suspect) => `Less likely: ${suspect.title} (${Math.round(100 * suspect.probability)} %). `)}
        {tablesSentence(comeback)} It left with <a href={hrefOf(earlier.job, "handover")}>{earlier.title}</a> on {new Date(earlier.at).toLocaleDateString()}.
      </p>
      {comeback.moved.length > 0 && <MovedFigure moved={comeback.moved} units={units} />}
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
      <Folded title="Another day, another tank" lines={conditions} />
      <Folded title="What could not be compared" lines={couldNot} />
    </section>
  );
}

function Folded({ title, lines }: { title: string; lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <details>
      <summary>{title}</summary>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </details>
  );
}

function MovedFigure({ moved, units }: { moved: readonly MovedView[]; units: (unit: string) => Shown }) {
  const far = moved.filter((each) => Math.abs(each.spreads) > ORDINARY_SPREADS).length;
  const picture = shifts({
    id: "since-departure",
    title: "Movement since it left",
    caption: `${far === 0 ? "None" : far} of ${moved.length} figures moved further than a sound vehicle does between two visits (shaded).`,
    widthPx: 820,
    axis: "Movement in spreads of a sound vehicle",
    ordinary: ORDINARY_SPREADS,
    ordinaryName: "ordinary",
    shifts: moved.slice(0, MOST_DRAWN).map(({ title, spreads, by, unit }) => {
      const shown = units(unit);
      return { name: title, spreads, says: `${signedTidy(shown.show(by) - shown.show(0))} ${shown.unit}` };
    }),
  });
  return <Figure picture={picture} />;
}

function signedTidy(value: number): string {
  return `${value < 0 ? "−" : "+"}${tidy(Math.abs(value))}`;
}

/** What the suspects rest on: what moved, or, on other tables, the new drive alone. */
function verdict(leader: ComebackView["suspects"][number] | undefined, basis: ComebackView["basis"]): string {
  const moved = basis === "moved since";
  if (leader === undefined || leader.fault === "healthy")
    return moved ? "Nothing that moved since speaks for a fault" : "Nothing in the new drive speaks for a fault";
  return `${moved ? "What moved since" : "The new drive alone"} speaks for: ${leader.title}`;
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
        {signedTidy(by)} {shown.unit}
      </td>
      <td className="figure">
        {moved.spreads < 0 ? "−" : "+"}
        {Math.abs(moved.spreads).toFixed(1)}
      </td>
    </tr>
  );
}

function tablesSentence({ ours, calibration, basis }: ComebackView): string {
  const { verdict, changed, cellsChanged, cells } = calibration;
  if (ours !== null) return `The tables in it are ours still, revision ${ours}, cell for cell.`;
  if (verdict === "not known") return "Whose tables are in it is not known: bring what was read from the controller.";
  if (verdict === "still ours") return "The tables in it are ours still, as far as they were read.";
  const titles = changed.map((edit) => edit.table).join(", ");
  const alone = basis === "moved since" ? "" : " Residuals belong to other tables now, so this rests on the new drive alone.";
  if (verdict === "as the reference again") return `The reference's tables are back in it: ${titles}.${alone}`;
  const of = `${cellsChanged} of ${cells} cells`;
  return verdict === "another calibration"
    ? `Another calibration is in it, by a hand we do not know: ${of} differ.${alone}`
    : `Ours but for ${of}: ${titles}.${alone}`;
}
