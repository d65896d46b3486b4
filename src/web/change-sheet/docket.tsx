import type { TableView } from "../../api/index.ts";
import type { JobDesk } from "../state/job.ts";
import { go, hrefOf } from "../state/route.ts";
import { keyOf } from "./sheet-table.ts";

export type Standing = "asked" | "held" | "decided" | "taken" | "quiet";

const SAYS: Readonly<Record<Standing, string>> = {
  asked: "asked for",
  held: "held until a repair",
  decided: "decided",
  taken: "in the newest revision",
  quiet: "",
};

export function standingOf(table: TableView, decided: ReadonlySet<string>): Standing {
  if (decided.has(keyOf(table))) return "decided";
  if (table.proposed === undefined) return "quiet";
  if (isTaken(table)) return "taken";
  return table.heldBecause === undefined ? "asked" : "held";
}

/** Whether the newest revision already has what the recordings ask for. */
export function isTaken({ current, proposed }: TableView): boolean {
  return current !== undefined && proposed !== undefined && current.every((cell, i) => cell === proposed[i]);
}

/** The tables in play, as marks with their names; every other table behind one choice. */
export function Docket(props: {
  readonly desk: JobDesk;
  readonly tables: readonly TableView[];
  readonly chosen: TableView;
  readonly decided: ReadonlySet<string>;
}) {
  const { desk, tables, chosen, decided } = props;
  const inPlay = tables.filter((table) => standingOf(table, decided) !== "quiet");
  const others = tables.filter((table) => standingOf(table, decided) === "quiet");
  const href = (key: string): string => hrefOf(desk.slug, "change-sheet", { role: key });
  const isOther = others.includes(chosen);
  return (
    <nav className="docket" aria-label="Tables">
      {inPlay.map((table) => {
        const standing = standingOf(table, decided);
        return (
          <a key={keyOf(table)} href={href(keyOf(table))} aria-current={table === chosen ? "true" : undefined}>
            <StandingMark standing={standing} />
            {table.title}
            <span className="visually-hidden">, {SAYS[standing]}</span>
          </a>
        );
      })}
      {others.length > 0 && (
        <select
          aria-label="Another table"
          className={isOther ? "current" : undefined}
          value={isOther ? keyOf(chosen) : ""}
          onChange={(event) => event.target.value !== "" && go(href(event.target.value))}
        >
          <option value="">{inPlay.length === 0 ? "Choose a table" : "Another table"}</option>
          {others.map((table) => (
            <option key={keyOf(table)} value={keyOf(table)}>
              {table.title}
            </option>
          ))}
        </select>
      )}
    </nav>
  );
}

/** Ring: asked for; barred ring: held; half-filled: decided; filled: in the newest revision. */
function StandingMark({ standing }: { standing: Standing }) {
  return (
    <svg viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">
      <circle cx="8" cy="8" r="5.5" fill={standing === "taken" ? "currentColor" : "none"} stroke="currentColor" strokeWidth="2" />
      {standing === "decided" && <path d="M8 2.5A5.5 5.5 0 0 1 8 13.5Z" fill="currentColor" />}
      {standing === "held" && <path d="M2 14L14 2" stroke="currentColor" strokeWidth="2.5" />}
    </svg>
  );
}
