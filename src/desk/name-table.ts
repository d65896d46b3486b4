import { UnusableInput } from "../base/index.ts";
import { type Book, keyOfTable, latestRevision, readJob, recordJobEvent } from "../book/index.ts";
import { ROLES, type Role, roleMisfit } from "../core/tables/index.ts";
import { type TableSheet, withRole } from "../formats/index.ts";
import { revisionSheets, sheetNamed } from "./revise.ts";

/** What a person says a table is: a role, none that is known here, or whatever the sheet and its title give. */
export type SaidRole = Role | "none" | "as-read";

/** A table whose role was chosen, and the one that had the role before. */
export interface NamedTable {
  readonly title: string;
  readonly without?: string;
}

/**
 * Enters which role a table has. One role belongs to one table: another one that had it is left without, or proposed anew.
 *
 * @param wanted title, role, or an unmistakable part of one
 * @throws UnusableInput when there is no such table, its size or units do not fit, or decisions lie on a table that would change its role
 */
export function nameTable(book: Book, slug: string, wanted: string, role: SaidRole, why?: string): NamedTable {
  const { state } = readJob(book, slug);
  const sheets = revisionSheets(book, state, latestRevision(state));
  const sheet = sheetNamed(sheets, wanted, slug);
  const { title } = sheet.table;
  const misfit = role === "none" || role === "as-read" ? undefined : roleMisfit(asWritten(sheet), role);
  if (misfit !== undefined)
    throw new UnusableInput({ at: { file: sheet.file }, what: misfit, do: `Choose one that fits: ${[...rolesThatFit(sheet), "none"].join(", ")}` });
  const before = sheets.find((other) => other !== sheet && other.table.role === role)?.table;
  const keys = [keyOfTable(sheet.table), ...(before === undefined ? [] : [keyOfTable(before)])];
  const decided = state.decisions.find((decision) => keys.includes(decision.role));
  // A decision holds for a role: after a change it would fall upon another table.
  if (decided !== undefined)
    throw new UnusableInput({
      at: { file: title },
      what: `Decisions since the last revision lie on ${decided.role}, and would go with the role`,
      do: "Undo them, or make the revision first",
    });
  recordJobEvent(book, slug, "table.named", { table: title, role }, why);
  return { title, ...(before === undefined ? {} : { without: before.title }) };
}

/** Roles that a sheet's size and units allow, in order of id. */
export function rolesThatFit(sheet: TableSheet): readonly Role[] {
  const table = asWritten(sheet);
  return (Object.keys(ROLES) as Role[]).filter((role) => roleMisfit(table, role) === undefined).sort();
}

function asWritten(sheet: TableSheet): TableSheet["table"] {
  return withRole(sheet, undefined).table;
}
