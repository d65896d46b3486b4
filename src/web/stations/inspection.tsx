import { useContext, useState } from "react";
import type { AnalysisView, TableView } from "../../api/index.ts";
import { answerTo, type Finding, findingKey } from "../../core/result/index.ts";
import { chain } from "../../drawing/index.ts";
import type { StationProps } from "../shell/job-page.tsx";
import type { JobDesk } from "../state/job.ts";
import { hrefOf } from "../state/route.ts";
import { UnitsContext } from "../state/units.ts";
import { Figure } from "../widgets/picture.tsx";
import { SeverityMark } from "../widgets/severity.tsx";
import { differenceOf, profileOf } from "../widgets/table-pictures.ts";

/** What contradicts itself, the gravest first, and what the last hand changed. */
export default function Inspection({ desk, toMargin }: StationProps) {
  const { analysis } = desk;
  if (analysis === undefined)
    return (
      <p className="teach">
        Bring the calibration as received and, where there is one, the factory's: the bench then says what was changed and what contradicts itself.
      </p>
    );
  const { findings, edits } = analysis.result;
  const changed = edits.filter((edit) => edit.kind !== "unchanged");
  return (
    <>
      <section>
        <h2>What contradicts itself</h2>
        {findings.length === 0 && <p>Nothing was found that contradicts itself.</p>}
        {findings.map((finding) => (
          <FindingBlock key={findingKey(finding)} finding={finding} desk={desk} analysis={analysis} />
        ))}
      </section>
      <section>
        <h2>What the last hand changed</h2>
        <p>
          {changed.length} of {edits.length} tables differ from the factory's.
        </p>
        {changed.map((edit) => {
          const table = analysis.tables.find((view) => view.title === edit.table);
          return (
            <EditBlock
              key={edit.table}
              title={edit.table}
              summary={edit.summary}
              table={table}
              open={() => toMargin(table === undefined ? <p>This table is only in the reference.</p> : <TableFacts table={table} slug={desk.slug} />)}
            />
          );
        })}
      </section>
      <p className="actions">
        <button type="button" className="primary" onClick={() => void desk.record("station.marked", { station: "inspection", state: "done" })}>
          Inspection done
        </button>
      </p>
    </>
  );
}

const ANSWERED: Readonly<Record<string, string>> = { accepted: "Accepted", disputed: "Disputed", done: "Done" };

function FindingBlock({ finding, desk, analysis }: { finding: Finding; desk: JobDesk; analysis: AnalysisView }) {
  const [disputing, setDisputing] = useState(false);
  const [why, setWhy] = useState("");
  const key = findingKey(finding);
  const answer = answerTo(desk.job?.answers ?? {}, finding);
  const say = (given: "accepted" | "disputed" | "done", reason?: string): void => {
    setDisputing(false);
    void desk.record("finding.answered", { finding: key, answer: given }, reason);
  };
  return (
    <article className="finding" data-answer={answer?.answer}>
      <SeverityMark severity={finding.severity} />
      <div>
        <h3>{finding.summary}</h3>
        <FindingPicture finding={finding} analysis={analysis} />
        <ul className="because">
          {finding.because.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
        <p className="do">{finding.do}</p>
        {answer !== undefined && (
          <p className="answer">
            {ANSWERED[answer.answer]}
            {answer.why === undefined ? "." : `: ${answer.why}`}
          </p>
        )}
        {disputing ? (
          <form
            onSubmit={(event) => {
              event.preventDefault();
              say("disputed", why);
            }}
          >
            <label>
              <span>Why it does not hold here</span>
              <textarea autoFocus required value={why} onChange={(event) => setWhy(event.target.value)} />
            </label>
            <div className="actions">
              <button type="submit" className="primary">
                Dispute it
              </button>
              <button type="button" onClick={() => setDisputing(false)}>
                Leave it
              </button>
            </div>
          </form>
        ) : (
          <div className="actions">
            <button type="button" onClick={() => say("accepted")}>
              Accept
            </button>
            <button type="button" onClick={() => setDisputing(true)}>
              Dispute
            </button>
            <button type="button" onClick={() => say("done")}>
              Mark done
            </button>
          </div>
        )}
      </div>
    </article>
  );
}

function FindingPicture({ finding, analysis }: { finding: Finding; analysis: AnalysisView }) {
  const { system } = useContext(UnitsContext);
  const tables = finding.tables.map((title) => analysis.tables.find((view) => view.title === title)).filter((view) => view !== undefined);
  if (finding.check === "torque.reduction-without-effect" && tables.length > 1) return <BrokenChain tables={tables} />;
  const table = tables.find((view) => view.x !== undefined && view.asReceived !== undefined);
  if (table === undefined) return null;
  const id = `f-${finding.check.replace(/\W/g, "-")}`;
  const before = table.reference ?? table.asReceived!;
  const picture = profileOf(table, { before, after: table.asReceived! }, `${table.title}: dashed the factory's, solid as received.`, id, system, 820);
  return picture === undefined ? null : <Figure picture={picture} />;
}

/** Request → look-up → effect: the reduction asked for, the curve it looks back through, and what is left of it. */
function BrokenChain({ tables }: { tables: readonly TableView[] }) {
  const step = (role: string): TableView | undefined => tables.find((view) => view.role === role);
  const asked = step("torque.shift-reduction") ?? tables[0]!;
  const loss = step("torque.spark-loss") ?? tables[1]!;
  const row = (table: TableView): number[] => (table.asReceived ?? []).slice(0, table.x?.values.length ?? 1).map((value) => value ?? Number.NaN);
  const small = (table: TableView) =>
    table.x === undefined
      ? undefined
      : { x: { name: table.x.name, unit: table.x.unit, values: table.x.values }, y: { name: table.title, unit: table.unit }, lines: [row(table)] };
  const picture = chain({
    id: "chain-torque",
    title: "Torque reduction in shifts",
    caption: "The share asked for is looked up backwards in the torque lost to retard; where that is nothing, nothing is taken away.",
    widthPx: 820,
    steps: [
      { part: "request", name: asked.title, says: "asks for a share of torque", profile: small(asked) },
      { part: "look-up", name: loss.title, says: "gives no torque for any retard", profile: small(loss) },
      { part: "effect", name: "Retard during the shift", says: "none", isDead: true },
    ],
    links: [{ isBroken: false }, { isBroken: true }],
  });
  return <Figure picture={picture} />;
}

function EditBlock({ title, summary, table, open }: { title: string; summary: string; table: TableView | undefined; open: () => void }) {
  const { system } = useContext(UnitsContext);
  const id = `e-${title.replace(/\W/g, "-")}`;
  const compared = table?.reference === undefined || table.asReceived === undefined ? undefined : { before: table.reference, after: table.asReceived };
  const folded = compared && profileOf(table!, compared, `${title}: ${summary}.`, `${id}-p`, system, 820);
  const grid = compared && differenceOf(table!, compared, `${title}, where it differs.`, `${id}-d`, system, 820);
  return (
    <article className="edit">
      <h3>{title}</h3>
      <p>{summary}</p>
      {folded !== undefined && <Figure picture={folded} />}
      {grid !== undefined && (
        <details>
          <summary>Where it differs</summary>
          <Figure picture={grid} />
        </details>
      )}
      <div className="actions">
        <button type="button" onClick={open}>
          About this table
        </button>
      </div>
    </article>
  );
}

function TableFacts({ table, slug }: { table: TableView; slug: string }) {
  return (
    <>
      <h3>{table.title}</h3>
      <p>{table.role ?? "Its role is not known."}</p>
      {table.edit !== undefined && <p>Against the factory: {table.edit}.</p>}
      {table.why !== undefined && <p>Correction: {table.why}</p>}
      {table.heldBecause !== undefined && <p>Held until this is mended: {table.heldBecause}.</p>}
      {table.role !== undefined && <a href={hrefOf(slug, "change-sheet", { role: table.role })}>Open it in the change sheet</a>}
    </>
  );
}
