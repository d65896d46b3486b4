import { UnusableInput } from "../base/index.ts";
import { columnsOf, type Table } from "../core/tables/index.ts";
import { type PacketFile, readTableSheet, type TableSheet, withRole, writeTableSheet } from "../formats/index.ts";
import { applyDecisions, type DecidedCells, keyOfTable, type ProposedCells } from "./apply-decisions.ts";
import type { Book } from "./book.ts";
import { keepTable, readOriginal, readTable } from "./content.ts";
import type { AcceptedProposal, CellChange, JobEvents, RevisionTable } from "./events.ts";
import type { Decision, JobState, Revision } from "./job-state.ts";
import type { JournalEvent } from "./journal.ts";

const AS_RECEIVED = "calibration/as-received/";

/** Revision 0 is the calibration as received. @throws UnusableInput when the job has no such revision */
export function revisionOf(state: JobState, number: number): Revision | undefined {
  if (number === 0) return undefined;
  const found = state.revisions.find((revision) => revision.number === number);
  if (found !== undefined) return found;
  const known = state.revisions.map((revision) => revision.number).join(", ");
  throw new UnusableInput({
    at: { file: state.slug },
    what: `The job has no revision ${number}`,
    do: known === "" ? "It has only the calibration as received, which is revision 0" : `Take 0 (as received) or one of ${known}`,
  });
}

/** Number of the newest revision; 0 while there is none. */
export function latestRevision(state: JobState): number {
  return state.revisions.at(-1)?.number ?? 0;
}

/** Sheets of a revision as files of a packet, byte for byte, in order of path. */
export function revisionFiles(book: Book, state: JobState, number: number): readonly PacketFile[] {
  const revision = revisionOf(state, number);
  if (revision === undefined)
    return state.files.filter((file) => file.path.startsWith(AS_RECEIVED)).map((file) => ({ path: file.path, bytes: readOriginal(book, state.slug, file) }));
  return revision.tables.map((table) => ({ path: `${AS_RECEIVED}${table.file}`, bytes: readTable(book, state.slug, table.sha256, table.title) }));
}

/** The table of one sheet that an accepted proposal kept, in the units of the sheet in force. */
export function acceptedCells(book: Book, slug: string, sheet: TableSheet, proposal: AcceptedProposal): ProposedCells {
  const kept = withRole(readTableSheet(sheet.file, readTable(book, slug, proposal.sheet, sheet.table.title)), sheet.table.role);
  return { cells: kept.table.cells, sd: proposal.sd };
}

/** Keeps a proposal as it stands, so that the decision on it stays what it was. */
export function keepProposal(
  book: Book,
  slug: string,
  sheet: TableSheet,
  proposal: {
    readonly after: Table;
    readonly sd: Float64Array;
    readonly sdKind: "relative" | "absolute";
    readonly why: string;
    readonly heldBecause?: string;
  },
  recordings: readonly string[],
): AcceptedProposal {
  const { cells } = proposal.after;
  return {
    sheet: keepTable(book, slug, writeTableSheet(sheet, cells)),
    sd: Array.from(proposal.sd, (sd, i) => {
      const absolute = proposal.sdKind === "relative" ? sd * Math.abs(cells[i]!) : sd;
      return Number.isFinite(absolute) ? Number(absolute.toPrecision(4)) : null;
    }),
    why: proposal.why,
    recordings,
    ...(proposal.heldBecause === undefined ? {} : { heldBecause: proposal.heldBecause }),
  };
}

/** A table as it would go into the next revision. */
export interface PendingTable {
  readonly sheet: TableSheet;
  readonly decided: DecidedCells;
  readonly changed: number;
}

/**
 * Tables as the decisions since the last revision leave them.
 *
 * @param sheets    the newest revision's, in canonical units with their roles
 * @param proposed  what an `accept` took where it kept no proposal of its own
 */
export function pendingTables(
  book: Book,
  state: JobState,
  sheets: readonly TableSheet[],
  proposed: (key: string) => ProposedCells | undefined = () => undefined,
): readonly PendingTable[] {
  return sheets.map((sheet) => {
    const decided = applyDecisions(sheet.table, state.decisions, (decision) =>
      decision.proposal === undefined ? proposed(decision.role) : acceptedCells(book, state.slug, sheet, decision.proposal),
    );
    let changed = 0;
    decided.cells.forEach((cell, i) => {
      if (cell !== sheet.table.cells[i]) changed++;
    });
    return { sheet, decided, changed };
  });
}

/**
 * The next revision's record: its sheets are kept by content; what each cell became is read back from the sheet as written, so that
 * the record tells what goes into the controller and not what was meant. Number: one above all that were ever given, undone ones too.
 */
export function assembleRevision(
  book: Book,
  state: JobState,
  events: readonly JournalEvent[],
  pending: readonly PendingTable[],
  name: string,
): JobEvents["revision.made"] {
  const given = events.filter((event) => event.kind === "revision.made").map((event) => (event.data as JobEvents["revision.made"]).revision);
  return {
    revision: Math.max(0, ...given) + 1,
    name,
    from: latestRevision(state),
    tables: pending.map((table) => revisionTable(book, state, table)),
  };
}

function revisionTable(book: Book, state: JobState, { sheet, decided }: PendingTable): RevisionTable {
  const bytes = writeTableSheet(sheet, decided.cells);
  const written = withRole(readTableSheet(sheet.file, bytes), sheet.table.role).table;
  const changed: CellChange[] = [];
  const columns = columnsOf(sheet.table);
  written.cells.forEach((to, i) => {
    const from = sheet.table.cells[i]!;
    if (to === from) return;
    const sd = decided.sd[i]!;
    changed.push({
      row: Math.floor(i / columns),
      column: i % columns,
      from,
      to,
      decision: decided.decision[i]!,
      ...(Number.isFinite(sd) ? { sd } : {}),
    });
  });
  const deciding = new Set(changed.map((change) => change.decision));
  return {
    title: sheet.table.title,
    ...(sheet.table.role === undefined ? {} : { role: sheet.table.role }),
    sha256: keepTable(book, state.slug, bytes),
    file: sheet.file.slice(AS_RECEIVED.length),
    reasons: [...new Set(state.decisions.filter((decision) => deciding.has(decision.number)).map(reasonOf))],
    changed,
  };
}

/** Why a decision was taken, in words: the person's, else the proposal's. */
export function reasonOf(decision: Decision): string {
  if (decision.why !== undefined) return decision.why;
  if (decision.decision === "accept") return decision.proposal?.why ?? "the proposal was accepted";
  return decision.decision === "edit" ? "set by hand" : "held at the value before";
}

/** Cells in which two calibrations differ, by table; tables that only one of them has are listed with no cells. */
export interface TableDifference {
  readonly key: string;
  readonly title: string;
  readonly unit: string;
  readonly only?: "first" | "second";
  readonly axesDiffer: boolean;
  readonly cells: readonly { readonly row: number; readonly column: number; readonly from: number; readonly to: number }[];
  readonly cellCount: number;
}

/** What differs between two lists of tables in canonical units, in order of role or title. */
export function differenceOf(first: readonly Table[], second: readonly Table[]): readonly TableDifference[] {
  const byKey = new Map(second.map((table) => [keyOfTable(table), table]));
  const differences: TableDifference[] = [];
  for (const table of first) {
    const other = byKey.get(keyOfTable(table));
    byKey.delete(keyOfTable(table));
    const head = { key: keyOfTable(table), title: table.title, unit: table.unit, cellCount: table.cells.length };
    if (other === undefined) {
      differences.push({ ...head, only: "first", axesDiffer: false, cells: [] });
      continue;
    }
    const axesDiffer = !sameValues(table.x?.values, other.x?.values) || !sameValues(table.y?.values, other.y?.values);
    const cells = axesDiffer ? [] : cellsThatDiffer(table, other);
    if (axesDiffer || cells.length > 0) differences.push({ ...head, axesDiffer, cells });
  }
  for (const [key, { title, unit, cells }] of byKey)
    differences.push({ key, title, unit, only: "second", axesDiffer: false, cells: [], cellCount: cells.length });
  return differences.sort((a, b) => (a.key < b.key ? -1 : 1));
}

function cellsThatDiffer(first: Table, second: Table): TableDifference["cells"] {
  const columns = columnsOf(first);
  const cells: { row: number; column: number; from: number; to: number }[] = [];
  first.cells.forEach((from, i) => {
    const to = second.cells[i]!;
    if (from !== to) cells.push({ row: Math.floor(i / columns), column: i % columns, from, to });
  });
  return cells;
}

function sameValues(a: Float64Array | undefined, b: Float64Array | undefined): boolean {
  if (a === undefined || b === undefined) return a === b;
  return a.length === b.length && a.every((value, i) => value === b[i]);
}
