import { useState } from "react";
import type { JobView, TableView } from "../../api/index.ts";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { keyOf, midSentence } from "./sheet-table.ts";

/** The decisions so far, by the names of the tables, made into whole sheets under a name. */
export function NextRevision({ desk, job, tables }: { desk: JobDesk; job: JobView; tables: readonly TableView[] }) {
  const [name, setName] = useState("");
  const [why, setWhy] = useState("");
  const [problem, setProblem] = useState("");
  const roles = new Set(job.decisions.map((made) => made.role));
  const titles = tables.filter((table) => roles.has(keyOf(table))).map((table) => midSentence(table.title));
  const make = async (): Promise<void> => {
    setProblem("");
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
    <section aria-labelledby="next-title">
      <h2 id="next-title">Next revision</h2>
      <p>
        {titles.length === 0 ? "Nothing is decided yet." : `Decided: ${titles.sort().join(", ")}.`} The tables are written as whole sheets; nothing is ever
        written to a vehicle.
      </p>
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          void make();
        }}
      >
        <label>
          <span>Name</span>
          <input type="text" required value={name} onChange={(event) => setName(event.target.value)} placeholder="air tables, first round" />
        </label>
        <label className="grow">
          <span>Why</span>
          <input type="text" value={why} onChange={(event) => setWhy(event.target.value)} />
        </label>
        <button type="submit" className="primary" disabled={titles.length === 0}>
          Make the revision
        </button>
      </form>
      {problem !== "" && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
    </section>
  );
}
