import { useState } from "react";
import type { TableView } from "../../api/index.ts";
import { TableEditor } from "../change-sheet/table-editor.tsx";
import type { StationProps } from "../shell/job-page.tsx";
import { client } from "../state/client.ts";
import { go, hrefOf } from "../state/route.ts";

/** Every table of the calibration, those that the recordings speak of first; decisions on them make up the next revision. */
export default function ChangeSheet({ desk, query, toMargin }: StationProps) {
  const { analysis, job } = desk;
  const [name, setName] = useState("");
  const [why, setWhy] = useState("");
  const [problem, setProblem] = useState("");
  if (analysis === undefined || analysis.tables.length === 0)
    return (
      <p className="teach">
        Bring the calibration as received and a recorded drive. What the recordings ask for is then laid out here, cell by cell, for you to accept, hold or
        edit.
      </p>
    );
  const decided = new Set((job?.decisions ?? []).map((made) => made.role));
  const order = (table: TableView): number => (table.proposed !== undefined && table.heldBecause === undefined ? 0 : table.proposed !== undefined ? 1 : 2);
  const tables = [...analysis.tables].sort((a, b) => order(a) - order(b) || (a.title < b.title ? -1 : 1));
  const chosen = tables.find((table) => (table.role ?? table.title) === query.get("role")) ?? tables[0]!;
  const makeRevision = async (): Promise<void> => {
    try {
      await client.makeRevision(desk.slug, name, why);
      setName("");
      setWhy("");
      await desk.renew();
    } catch (error) {
      setProblem(error instanceof Error ? error.message : String(error));
    }
  };
  return (
    <>
      <label>
        <span>Table</span>
        <select value={chosen.role ?? chosen.title} onChange={(event) => go(hrefOf(desk.slug, "change-sheet", { role: event.target.value }))}>
          {tables.map((table) => (
            <option key={table.role ?? table.title} value={table.role ?? table.title}>
              {table.title}
              {table.proposed === undefined ? "" : table.heldBecause === undefined ? ", asked for" : ", held"}
              {decided.has(table.role ?? table.title) ? ", decided" : ""}
            </option>
          ))}
        </select>
      </label>
      <TableEditor key={chosen.role ?? chosen.title} table={chosen} desk={desk} toMargin={toMargin} />
      <section>
        <h2>Next revision</h2>
        <p>
          {decided.size === 0 ? "Nothing is decided yet." : `Decided: ${[...decided].sort().join(", ")}.`} The tables are written as whole sheets; nothing is
          ever written to a vehicle.
        </p>
        <form
          className="row"
          onSubmit={(event) => {
            event.preventDefault();
            void makeRevision();
          }}
        >
          <label>
            <span>Name</span>
            <input required value={name} onChange={(event) => setName(event.target.value)} placeholder="air tables, first round" />
          </label>
          <label>
            <span>Why</span>
            <input value={why} onChange={(event) => setWhy(event.target.value)} />
          </label>
          <button type="submit" className="primary" disabled={decided.size === 0}>
            Make the revision
          </button>
        </form>
        {problem !== "" && (
          <p className="problem" role="alert">
            {problem}
          </p>
        )}
        <ol className="revisions">
          {(job?.revisions ?? []).map((revision) => (
            <li key={revision.number} value={revision.number}>
              {revision.name}
              {revision.why === undefined ? "" : `: ${revision.why}`}{" "}
              <span className="soft">
                {revision.by}, {new Date(revision.at).toLocaleString()}
              </span>{" "}
              <a className="as-button" href={client.revisionHref(desk.slug, revision.number)} download>
                Take it away
              </a>
            </li>
          ))}
        </ol>
      </section>
    </>
  );
}
