import "../inspection/inspection.css";
import { useContext, useState } from "react";
import type { TableView } from "../../api/index.ts";
import { answerTo, type Finding, findingKey } from "../../core/result/index.ts";
import { AllTables } from "../inspection/all-tables.tsx";
import { FindingRow } from "../inspection/finding-row.tsx";
import type { StationProps } from "../shell/job-page.tsx";
import { useKeys } from "../shell/keys.tsx";
import { UnitsContext } from "../state/units.ts";
import { NoteBlock } from "../widgets/notes.tsx";
import { Figure } from "../widgets/picture.tsx";
import { differenceOf, profileOf } from "../widgets/table-pictures.ts";

/** What contradicts itself, the gravest first, and what the last hand changed. */
export default function Inspection({ desk }: StationProps) {
  const { analysis } = desk;
  const findings = analysis?.result.findings ?? [];
  const answers = desk.job?.answers ?? {};
  const firstOpen = findings.findIndex((finding) => answerTo(answers, finding) === undefined);
  const [chosen, setChosen] = useState<string>();
  const [isDisputing, setDisputing] = useState(false);
  const at = chosen === undefined ? firstOpen : findings.findIndex((finding) => findingKey(finding) === chosen);
  const look = (i: number): void => {
    const finding = findings[Math.max(0, Math.min(findings.length - 1, i))];
    setDisputing(false);
    if (finding !== undefined) setChosen(findingKey(finding));
  };
  const answer = (finding: Finding, given: "accepted" | "disputed" | "done", why?: string): void => {
    setDisputing(false);
    setChosen(findingKey(finding));
    void desk.record("finding.answered", { finding: findingKey(finding), answer: given }, why);
  };
  const ofChosen = (does: (finding: Finding) => void) => (): void => {
    const finding = findings[at];
    if (finding !== undefined) does(finding);
  };
  useKeys({
    j: () => look(at + 1),
    k: () => look(at - 1),
    a: ofChosen((finding) => answer(finding, "accepted")),
    x: ofChosen(() => setDisputing(true)),
    m: ofChosen((finding) => answer(finding, "done")),
  });
  if (analysis === undefined)
    return (
      <p className="teach">
        Bring the calibration as received and, where there is one, the factory's: the bench then says what was changed and what contradicts itself.
      </p>
    );
  const { edits } = analysis.result;
  const changed = edits.filter((edit) => edit.kind !== "unchanged");
  const unanswered = findings.filter((finding) => answerTo(answers, finding) === undefined).length;
  return (
    <>
      <section>
        <h2>What contradicts itself</h2>
        <p>{findings.length === 0 ? "Nothing was found that contradicts itself." : countText(findings.length, unanswered)}</p>
        {findings.map((finding, i) => (
          <FindingRow
            key={findingKey(finding)}
            finding={finding}
            desk={desk}
            analysis={analysis}
            isOpen={i === at}
            isDisputing={i === at && isDisputing}
            open={() => look(i)}
            dispute={setDisputing}
            answer={(given, why) => answer(finding, given, why)}
          />
        ))}
        <p className="actions">
          <button type="button" className="primary" onClick={() => void desk.record("station.marked", { station: "inspection", state: "done" })}>
            Inspection done
          </button>
        </p>
      </section>
      <section>
        <h2>What the last hand changed</h2>
        <p>
          {changed.length} of {edits.length} tables differ from the factory's.
        </p>
        <div className="edits">
          {changed.map((edit) => (
            <EditBlock key={edit.table} title={edit.table} summary={edit.summary} table={analysis.tables.find((view) => view.title === edit.table)} />
          ))}
        </div>
      </section>
      <section>
        <h2>All tables</h2>
        <AllTables analysis={analysis} desk={desk} />
      </section>
      <NoteBlock desk={desk} station="inspection" />
    </>
  );
}

function countText(all: number, unanswered: number): string {
  const found = all === 1 ? "One finding" : `${all} findings`;
  if (unanswered === 0) return `${found}, all answered.`;
  return unanswered === all ? `${found}, the gravest first.` : `${found}, the gravest first; ${unanswered} still open.`;
}

function EditBlock({ title, summary, table }: { title: string; summary: string; table: TableView | undefined }) {
  const { system } = useContext(UnitsContext);
  const id = `e-${title.replace(/\W/g, "-")}`;
  const compared = table?.reference === undefined || table.asReceived === undefined ? undefined : { before: table.reference, after: table.asReceived };
  const folded = compared && profileOf(table!, compared, `${title}: dashed the factory's, solid in the controller now.`, `${id}-p`, system, 520);
  const grid = compared && differenceOf(table!, compared, `${title}, where it differs.`, `${id}-d`, system, 640);
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
    </article>
  );
}
