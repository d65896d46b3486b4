import { type Book, keyOfTable, readJob, revisionOf } from "../book/index.ts";
import type { OutFile } from "./loaded.ts";
import { exportRevision, revisionSheets } from "./revise.ts";

/** `sheets`: every sheet of the calibration; `changed`: those that the revision changed; `bundle`: both apart, with the list of changed cells. */
export const TAKE_AWAY = ["sheets", "changed", "bundle"] as const;
export type TakeAway = (typeof TAKE_AWAY)[number];

/**
 * A revision as files, ready to be taken to the bench or kept.
 * @throws UnusableInput when the job has no such revision
 */
export function takeAway(book: Book, slug: string, revision: number, what: TakeAway): readonly OutFile[] {
  const sheets = exportRevision(book, slug, revision).map(({ path, bytes }) => ({ path, content: bytes }));
  if (what === "sheets") return sheets;
  const { state } = readJob(book, slug);
  const changed = new Set((revisionOf(state, revision)?.tables ?? []).filter((table) => table.changed.length > 0).map((table) => table.file));
  const ofRevision = sheets.filter((sheet) => changed.has(sheet.path));
  if (what === "changed") return ofRevision;
  return [
    { path: "changed-cells.tsv", content: changedCells(book, slug, revision) },
    ...ofRevision.map((sheet) => ({ ...sheet, path: `changed/${sheet.path}` })),
    ...sheets.map((sheet) => ({ ...sheet, path: `calibration/${sheet.path}` })),
  ];
}

const HEAD = ["table", "unit", "x", "y", "before", "after", "sd", "why"];

/** Every cell that a revision changed, one a line, tab-separated, canonical units. */
function changedCells(book: Book, slug: string, revision: number): string {
  const { state } = readJob(book, slug);
  const record = revisionOf(state, revision);
  const tables = new Map(revisionSheets(book, state, revision).map(({ table }) => [keyOfTable(table), table]));
  const lines = (record?.tables ?? []).flatMap((made) => {
    const table = tables.get(made.role ?? made.title);
    if (table === undefined) return [];
    return made.changed.map(({ row, column, from, to, sd }) =>
      [made.title, table.unit, table.x?.values[column] ?? "", table.y?.values[row] ?? "", from, to, sd ?? "", made.reasons.join(" ")].map(plain).join("\t"),
    );
  });
  return `${[HEAD.join("\t"), ...lines].join("\n")}\n`;
}

function plain(value: string | number): string {
  return typeof value === "number" ? String(Number(value.toPrecision(6))) : value.replace(/\s+/g, " ").trim();
}
