import "../change-sheet/change-sheet.css";
import { Docket, isTaken, standingOf } from "../change-sheet/docket.tsx";
import { NextRevision } from "../change-sheet/next-revision.tsx";
import { Revisions } from "../change-sheet/revisions.tsx";
import { keyOf } from "../change-sheet/sheet-table.ts";
import { TableSheet } from "../change-sheet/table-sheet.tsx";
import { useVerification, Verification, verdictWords } from "../change-sheet/verification.tsx";
import type { StationProps } from "../shell/job-page.tsx";
import { NoteBlock } from "../widgets/notes.tsx";

const ORDER = ["asked", "held", "decided", "taken", "quiet"];

/** Every table of the calibration, those that the recordings speak of first; decisions on them make up the next revision. */
export default function ChangeSheet({ desk, query, toMargin }: StationProps) {
  const { analysis, job } = desk;
  const newest = job?.revisions.at(-1)?.number;
  const verification = useVerification(desk, newest);
  if (analysis === undefined || job === undefined || analysis.tables.length === 0)
    return (
      <>
        <p className="teach">
          Bring the calibration as received and a recorded drive. What the recordings ask for is then laid out here, cell by cell, for you to accept, hold or
          edit.
        </p>
        <NoteBlock desk={desk} station="change-sheet" />
      </>
    );
  const decided = new Set(job.decisions.map((made) => made.role));
  const rank = (key: string): number => ORDER.indexOf(standingOf(analysis.tables.find((table) => keyOf(table) === key)!, new Set()));
  const tables = [...analysis.tables].sort((a, b) => rank(keyOf(a)) - rank(keyOf(b)) || (a.title < b.title ? -1 : 1));
  const chosen = tables.find((table) => keyOf(table) === query.get("role")) ?? tables[0]!;
  const asked = tables.filter((table) => table.proposed !== undefined && !isTaken(table));
  const held = asked.filter((table) => table.heldBecause !== undefined).length;
  return (
    <div className="change-sheet">
      <p className="lead">
        {asked.length === 0
          ? "The recordings ask for nothing more."
          : `The recordings ask for changes of ${asked.length} ${asked.length === 1 ? "table" : "tables"}${held === 0 ? "" : `, ${held} of them held until a repair`}; ${decided.size === 0 ? "nothing is decided yet" : `${decided.size} decided`}.`}{" "}
        {verification !== null && verification !== undefined && (
          <button type="button" className="link" onClick={toVerified}>
            {verdictWords(verification)}
          </button>
        )}
      </p>
      <Docket desk={desk} tables={tables} chosen={chosen} decided={decided} />
      <TableSheet key={keyOf(chosen)} table={chosen} desk={desk} toMargin={toMargin} />
      <NextRevision desk={desk} job={job} tables={tables} />
      {verification !== null && verification !== undefined && <Verification view={verification} />}
      <Revisions desk={desk} job={job} hasFactory={analysis.tables.some((table) => table.reference !== undefined)} />
      <NoteBlock desk={desk} station="change-sheet" />
    </div>
  );
}

function toVerified(): void {
  document.getElementById("verified-title")?.scrollIntoView({ block: "start" });
}
