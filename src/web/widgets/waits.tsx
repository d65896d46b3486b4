import { useState } from "react";
import type { JobDesk } from "../state/job.ts";

const KINDS = [
  ["part", "a part"],
  ["customer", "the customer"],
  ["drive", "a drive"],
  ["dynamometer", "the dynamometer"],
  ["other", "something else"],
] as const;

/** What the job waits for: the board sorts by it. */
export function WaitBlock({ desk }: { desk: JobDesk }) {
  const [kind, setKind] = useState<string>("part");
  const [what, setWhat] = useState("");
  const [until, setUntil] = useState("");
  const waits = desk.job?.waits ?? [];
  return (
    <section className="waits">
      <h2>What the job waits for</h2>
      {waits.length === 0 && <p>Nothing: the job can go on.</p>}
      {waits.map((wait) => (
        <p key={wait.number} className="actions">
          <span>
            {wait.what}
            {wait.until === undefined || wait.until === "" ? "" : `, expected ${wait.until}`}{" "}
            <span className="soft">since {new Date(wait.since).toLocaleDateString()}</span>
          </span>
          <button type="button" onClick={() => void desk.record("wait.ended", { began: wait.number })}>
            It is here
          </button>
        </p>
      ))}
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          void desk.record("wait.began", { kind, what, ...(until === "" ? {} : { until }) }).then(() => setWhat(""));
        }}
      >
        <label>
          <span>Waits for</span>
          <select value={kind} onChange={(event) => setKind(event.target.value)}>
            {KINDS.map(([value, name]) => (
              <option key={value} value={value}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <label>
          <span>Which</span>
          <input required value={what} onChange={(event) => setWhat(event.target.value)} placeholder="throttle body, ordered" />
        </label>
        <label>
          <span>Expected</span>
          <input type="date" value={until} onChange={(event) => setUntil(event.target.value)} />
        </label>
        <button type="submit">Let it wait</button>
      </form>
    </section>
  );
}
