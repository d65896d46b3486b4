import type { JobView, LookView } from "../../api/index.ts";
import { SIGNALS } from "../../core/units/index.ts";

/** A file that was dropped, what it was seen to be, and what the person said of it. */
export interface Brought {
  readonly file: File;
  readonly seen: LookView;
  readonly path: string;
  /** Columns by the signal the person named; "none" for no signal. */
  readonly named: Readonly<Record<string, string>>;
  /** Revision that was in the controller when it was recorded. */
  readonly revision: number;
}

const PLACES: readonly (readonly [path: string, name: string])[] = [
  ["intake.json", "intake sheet"],
  ["calibration/as-received/", "calibration as received"],
  ["calibration/reference/", "factory reference"],
  ["recordings/", "recording"],
  ["pulls/", "sweep"],
  ["attachments/", "attachment"],
];

const SIGNAL_NAMES = Object.entries(SIGNALS)
  .map(([id, { name, unit }]) => [id, /^(-|0\/1)$/.test(unit) ? name : `${name} [${unit}]`] as const)
  .sort(([, a], [, b]) => (a < b ? -1 : 1));

interface BroughtProps {
  readonly brought: readonly Brought[];
  readonly revisions: JobView["revisions"];
  readonly known: ReadonlySet<string>;
  change(i: number, next: Brought): void;
  keep(): void;
  leave(): void;
}

/** What each file is, where it goes, and the questions that only the person can answer. */
export function BroughtFiles({ brought, revisions, known, change, keep, leave }: BroughtProps) {
  const asked = brought.reduce((sum, one) => sum + one.seen.columns.filter((column) => column.signal !== undefined).length, 0);
  return (
    <section className="brought" aria-label="Files brought">
      <h2>
        {brought.length} {brought.length === 1 ? "file" : "files"} brought
      </h2>
      <p className="soft">
        Nothing is kept yet.
        {asked > 0 ? ` ${asked === 1 ? "One column was" : `${asked} columns were`} taken with doubt: look at ${asked === 1 ? "it" : "them"} first.` : ""}
      </p>
      <ul>
        {brought.map((one, i) => (
          <li key={`${one.seen.path} ${one.file.name}`}>
            <span className="brought-name">{one.file.name}</span>
            <span>
              {one.seen.says}
              {known.has(one.path) && <span className="soft"> takes the place of the one that is here; that one stays among the originals</span>}
            </span>
            <PlaceChoice one={one} change={(next) => change(i, next)} />
            {revisions.length > 0 && /^(recordings|pulls)\//.test(one.path) && (
              <label className="brought-revision">
                <span>Driven with</span>
                <select value={one.revision} onChange={(event) => change(i, { ...one, revision: Number(event.target.value) })}>
                  <option value={0}>the calibration as received</option>
                  {revisions.map((revision) => (
                    <option key={revision.number} value={revision.number}>
                      revision {revision.number}, {revision.name}
                    </option>
                  ))}
                </select>
              </label>
            )}
            {one.seen.doubts.length > 0 && <span className="doubts">{one.seen.doubts.join(" ")}</span>}
            {one.seen.columns.length > 0 && <Columns one={one} change={(next) => change(i, next)} />}
          </li>
        ))}
      </ul>
      <div className="actions">
        <button type="button" className="primary" onClick={keep}>
          Keep them
        </button>
        <button type="button" onClick={leave}>
          Leave them
        </button>
      </div>
    </section>
  );
}

function PlaceChoice({ one, change }: { one: Brought; change: (next: Brought) => void }) {
  const at = PLACES.find(([place]) => one.path.startsWith(place))?.[0] ?? "attachments/";
  return (
    <label>
      <span className="visually-hidden">Where {one.file.name} belongs</span>
      <select
        value={at}
        onChange={(event) => change({ ...one, path: event.target.value.endsWith("/") ? event.target.value + one.file.name : event.target.value })}
      >
        {PLACES.map(([place, name]) => (
          <option key={place} value={place}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
}

/** Columns taken with doubt are asked about at once; those not recognised lie folded, since a logger writes many that nobody needs. */
function Columns({ one, change }: { one: Brought; change: (next: Brought) => void }) {
  const doubtful = one.seen.columns.filter((column) => column.signal !== undefined);
  const others = one.seen.columns.filter((column) => column.signal === undefined);
  const choice = (column: LookView["columns"][number]) => (
    <label key={column.column}>
      <span>
        {column.column}
        {column.confidence === undefined ? "" : `, ${Math.round(100 * column.confidence)} % sure`}
      </span>
      <select
        value={one.named[column.column] ?? column.signal ?? "none"}
        onChange={(event) => change({ ...one, named: { ...one.named, [column.column]: event.target.value } })}
      >
        <option value="none">no signal that matters</option>
        {SIGNAL_NAMES.map(([id, name]) => (
          <option key={id} value={id}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
  return (
    <div className="brought-columns">
      {doubtful.map(choice)}
      {others.length > 0 && (
        <details>
          <summary>
            {others.length} {others.length === 1 ? "column" : "columns"} not recognised
          </summary>
          <div className="brought-columns">{others.map(choice)}</div>
        </details>
      )}
    </div>
  );
}
