import { useState } from "react";
import type { ChangedTableView, JobView } from "../../api/index.ts";
import type { Edit } from "../../core/result/index.ts";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { type Shown, useUnits } from "../state/units.ts";
import { Figure } from "../widgets/picture.tsx";
import { differenceOf, profileOf } from "../widgets/table-pictures.ts";
import { toTabbed } from "./clipboard.ts";

interface Compared {
  readonly from: string;
  readonly to: string;
  readonly edits: readonly Edit[];
  readonly tables: readonly ChangedTableView[];
}

/** Every revision that was made, taken away as sheets, text or a bundle; and what lies between any two. */
export function Revisions({ desk, job, hasFactory }: { desk: JobDesk; job: JobView; hasFactory: boolean }) {
  const units = useUnits();
  const [message, setMessage] = useState("");
  if (job.revisions.length === 0 && !hasFactory) return null;
  const copyText = async (number: number, from: number): Promise<void> => {
    const tables = await client.changed(desk.slug, String(from), String(number));
    await navigator.clipboard.writeText(tables.map((table) => textOf(table, units)).join("\n\n"));
    setMessage(`Copied ${tables.length} ${tables.length === 1 ? "table" : "tables"} of revision ${number} as tab-separated text.`);
  };
  return (
    <section aria-labelledby="revisions-title" className="revisions-block">
      <h2 id="revisions-title">Revisions</h2>
      {job.revisions.length === 0 && <p>None was made yet.</p>}
      <ol className="revisions">
        {[...job.revisions].reverse().map((revision) => (
          <li key={revision.number}>
            <p>
              <strong>
                {revision.number}. {revision.name}
              </strong>
              {revision.why === undefined ? "" : `: ${revision.why}`}{" "}
              <span className="soft">
                {revision.by}, {new Date(revision.at).toLocaleString()}
              </span>
            </p>
            <div className="actions">
              <a className="as-button" href={client.revisionHref(desk.slug, revision.number, "changed")} download>
                Changed sheets
              </a>
              <a className="as-button" href={client.revisionHref(desk.slug, revision.number, "sheets")} download>
                All sheets
              </a>
              <button type="button" onClick={() => void copyText(revision.number, revision.from).catch((error: Error) => setMessage(error.message))}>
                Copy as text
              </button>
              <a className="as-button" href={client.revisionHref(desk.slug, revision.number, "bundle")} download>
                Bundle with reasons
              </a>
            </div>
          </li>
        ))}
      </ol>
      <p role="status" className="soft">
        {message}
      </p>
      <Between desk={desk} job={job} hasFactory={hasFactory} />
    </section>
  );
}

/** What was done to get from one calibration of the job to another. */
function Between({ desk, job, hasFactory }: { desk: JobDesk; job: JobView; hasFactory: boolean }) {
  const newest = String(job.revisions.at(-1)?.number ?? 0);
  const [from, setFrom] = useState(hasFactory ? "factory" : "0");
  const [to, setTo] = useState(newest);
  const [compared, setCompared] = useState<Compared>();
  const [problem, setProblem] = useState("");
  const sides: readonly (readonly [string, string])[] = [
    ...(hasFactory ? [["factory", "Factory"] as const] : []),
    ["0", "As received"],
    ...job.revisions.map((revision) => [String(revision.number), `Revision ${revision.number}, ${revision.name}`] as const),
  ];
  const nameOf = (side: string): string => sides.find(([id]) => id === side)?.[1] ?? side;
  const compare = async (): Promise<void> => {
    const [edits, tables] = await Promise.all([client.compare(desk.slug, from, to), client.changed(desk.slug, from, to)]);
    setCompared({ from: nameOf(from), to: nameOf(to), edits, tables });
  };
  const choice = (label: string, value: string, choose: (side: string) => void) => (
    <label>
      <span>{label}</span>
      <select value={value} onChange={(event) => choose(event.target.value)}>
        {sides.map(([id, name]) => (
          <option key={id} value={id}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
  return (
    <>
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          setProblem("");
          void compare().catch((error: Error) => setProblem(error.message));
        }}
      >
        {choice("What changed from", from, setFrom)}
        {choice("to", to, setTo)}
        <button type="submit" disabled={from === to}>
          Compare
        </button>
      </form>
      {problem !== "" && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
      {compared !== undefined && <Differences compared={compared} />}
    </>
  );
}

function Differences({ compared }: { compared: Compared }) {
  const { from, to, edits, tables } = compared;
  return (
    <section aria-label={`From ${from} to ${to}`} role="status">
      <h3>
        From {from} to {to}: {edits.length === 0 ? "no table differs" : `${edits.length} ${edits.length === 1 ? "table differs" : "tables differ"}`}
      </h3>
      <ul className="differences">
        {edits.map((edit) => {
          const table = tables.find((one) => one.title === edit.table || (one.role !== undefined && one.role === edit.role));
          return (
            <li key={edit.table}>
              <p>
                <strong>{edit.table}</strong>: {edit.summary}
              </p>
              {table?.x !== undefined && <DifferencePicture table={table} from={from} to={to} />}
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function DifferencePicture({ table, from, to }: { table: ChangedTableView; from: string; to: string }) {
  const units = useUnits();
  const [isOpen, setOpen] = useState(false);
  const compared = { before: table.from, after: table.to };
  const id = `between-${(table.role ?? table.title).replace(/\W+/g, "-")}`;
  const caption = `${table.title}: from ${from} to ${to}.`;
  const picture = !isOpen
    ? undefined
    : table.y === undefined
      ? profileOf(table, compared, `${caption} Dashed before, solid after.`, id, units, 760)
      : differenceOf(table, compared, caption, id, units, 760);
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Show it</summary>
      {picture !== undefined && <Figure picture={picture} />}
    </details>
  );
}

/** A table as text: its name and unit, then the cells with their axes, in the units shown. */
function textOf(table: ChangedTableView, units: (unit: string) => Shown): string {
  const value = units(table.unit);
  const x = (table.x?.values ?? [0]).map(units(table.x?.unit ?? "").show);
  const y = table.y?.values.map(units(table.y.unit).show);
  const cells = Float64Array.from(table.to, (cell) => (cell === null ? Number.NaN : value.show(cell)));
  const whole = { r0: 0, c0: 0, r1: (y?.length ?? 1) - 1, c1: x.length - 1 };
  return `${table.title}${value.unit === "" ? "" : ` [${value.unit}]`}\n${toTabbed({ columns: x.length, cells }, whole, { x, y })}`;
}
