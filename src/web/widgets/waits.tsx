import { useState } from "react";
import type { JobDesk } from "../state/job.ts";
import { hrefOf } from "../state/route.ts";

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
  const [fault, setFault] = useState("");
  const waits = desk.job?.waits ?? [];
  const mends = kind === "part" ? mendable(desk) : [];
  return (
    <section className="waits">
      <h2>What the job waits for</h2>
      {waits.length === 0 && <p>Nothing: the job can go on.</p>}
      {waits.map((wait) => (
        <p key={wait.number} className="actions">
          <span>
            {wait.what}
            {wait.until === undefined || wait.until === "" ? "" : `, expected ${wait.until}`}{" "}
            <span className="soft">
              since {new Date(wait.since).toLocaleDateString()}
              {wait.measureAgain.length === 0 ? "" : `; then ${wait.measureAgain.length} things are to be measured again`}
            </span>
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
          const mended = kind === "part" && fault !== "" ? { fault } : {};
          void desk.record("wait.began", { kind, what, ...(until === "" ? {} : { until }), ...mended }).then(() => setWhat(""));
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
        {mends.length > 0 && (
          <label>
            <span>Which is to mend</span>
            <select value={fault} onChange={(event) => setFault(event.target.value)}>
              <option value="">no fault of the list</option>
              {mends.map(([id, title]) => (
                <option key={id} value={id}>
                  {title}
                </option>
              ))}
            </select>
          </label>
        )}
        <label>
          <span>Expected</span>
          <input type="date" value={until} onChange={(event) => setUntil(event.target.value)} />
        </label>
        <button type="submit">Let it wait</button>
      </form>
      <MeasureAgain desk={desk} />
    </section>
  );
}

/** Faults that a part could mend, the likeliest first. */
function mendable({ analysis }: JobDesk): readonly (readonly [id: string, title: string])[] {
  if (analysis === undefined) return [];
  const chance = (id: string): number => analysis.result.suspects.find((suspect) => suspect.fault === id)?.probability ?? 0;
  return Object.entries(analysis.faults)
    .filter(([id]) => id !== "healthy")
    .sort(([a], [b]) => chance(b) - chance(a) || (a < b ? -1 : 1))
    .map(([id, { title }]) => [id, title]);
}

const WHERE = { recording: "recordings", sweep: "pulls", test: "diagnosis" } as const;

/** What a repair made uncertain, and whether it was measured since. */
function MeasureAgain({ desk }: { desk: JobDesk }) {
  const again = desk.job?.measureAgain ?? [];
  if (again.length === 0) return null;
  const open = again.filter((item) => !item.isDone).length;
  return (
    <>
      <h3>To measure again after the repair</h3>
      <p>{open === 0 ? "All of it was measured since." : `${open} of ${again.length} still to do, in this order:`}</p>
      <ol className="measure-again">
        {again.map((item) => (
          <li key={`${item.fault} ${item.what}`}>
            <span className="soft">{item.isDone ? "Done:" : "Open:"}</span> {item.what}. <span className="soft">It settles {item.settles}.</span>{" "}
            {!item.isDone && <a href={hrefOf(desk.slug, WHERE[item.by as keyof typeof WHERE] ?? "recordings")}>Go there</a>}
          </li>
        ))}
      </ol>
    </>
  );
}
