import { UnusableInput } from "../base/index.ts";
import {
  assembleRevision,
  type Book,
  type CellEdit,
  type CellRegion,
  differenceOf,
  type JobState,
  keepProposal,
  keyOfTable,
  latestRevision,
  type PendingTable,
  pendingTables,
  type Revision,
  readJob,
  readOriginal,
  recordJobEvent,
  revisionFiles,
  revisionOf,
  type TableDifference,
} from "../book/index.ts";
import type { CorrectionProposal } from "../core/corrections/index.ts";
import { columnsOf, rowsOf } from "../core/tables/index.ts";
import { type PacketFile, readPacketWithSheets, type TableSheet } from "../formats/index.ts";
import { analysisOf } from "./analysis.ts";

/** What a person decides on a table: whole, a region of it, or single cells. */
export interface Deciding {
  /** Role of the table, or its title where it has none. */
  readonly table: string;
  readonly decision: "accept" | "hold" | "edit";
  /** Left out: the whole table. */
  readonly region?: CellRegion;
  /** With `edit`: values in the table's canonical unit. */
  readonly cells?: readonly CellEdit[];
}

/** Sheets of a revision with their roles, tables in canonical units, in order of file. */
export function revisionSheets(book: Book, state: JobState, revision: number): readonly TableSheet[] {
  return sheetsBeside(book, state, revision).inForce;
}

/** Sheets of a revision, and the factory's beside them, with their roles. */
export function sheetsBeside(
  book: Book,
  state: JobState,
  revision: number,
): { readonly inForce: readonly TableSheet[]; readonly factory: readonly TableSheet[] } {
  revisionOf(state, revision);
  const references = state.files.filter((file) => file.path.startsWith("calibration/reference/"));
  const files = [...revisionFiles(book, state, revision), ...filesOf(book, state, references)];
  if (!files.some((file) => file.path.startsWith("calibration/as-received/"))) return { inForce: [], factory: [] };
  const read = readPacketWithSheets([...files, PLACEHOLDER_INTAKE], { roles: state.tableRoles });
  return { inForce: read.asReceivedSheets, factory: read.referenceSheets };
}

/** Roles of sheets do not depend on the engine; the reader of packets only wants to be told one. */
const PLACEHOLDER_INTAKE: PacketFile = {
  path: "intake.json",
  bytes: new TextEncoder().encode('{"engine":{"displacementL":1,"cylinders":1}}'),
};

function filesOf(book: Book, state: JobState, files: JobState["files"]): PacketFile[] {
  return files.map((file) => ({ path: file.path, bytes: readOriginal(book, state.slug, file) }));
}

/**
 * Enters a decision. An `accept` keeps the proposal as it stands at this moment. Values of an `edit` are written to the sheet with its
 * own digits when the revision is made.
 * @throws UnusableInput when the table, the proposal or a cell is not there
 */
export function decideOn(book: Book, slug: string, deciding: Deciding, why?: string): void {
  const { state } = readJob(book, slug);
  const sheet = sheetNamed(revisionSheets(book, state, latestRevision(state)), deciding.table, slug);
  const { table } = sheet;
  const region = deciding.region && insideOf(deciding.region, rowsOf(table), columnsOf(table), sheet);
  const role = keyOfTable(table);
  if (deciding.decision === "accept") {
    const analysis = analysisOf(book, slug);
    const proposal = analysis.proposals.find((made) => made.role === table.role);
    if (proposal === undefined)
      throw new UnusableInput({
        at: { file: table.title },
        what: "Nothing is proposed for this table",
        do: "See what is: fettle correct JOB; or set cells by hand: fettle edit JOB TABLE",
      });
    const kept = keepProposal(
      book,
      slug,
      sheet,
      proposal,
      analysis.result.recordings.map((recording) => recording.file),
    );
    recordJobEvent(book, slug, "change.decided", { role, decision: "accept", ...(region === undefined ? {} : { region }), proposal: kept }, why);
    return;
  }
  for (const { row, column } of deciding.cells ?? [])
    insideOf(
      [
        [row, column],
        [row, column],
      ],
      rowsOf(table),
      columnsOf(table),
      sheet,
    );
  recordJobEvent(
    book,
    slug,
    "change.decided",
    {
      role,
      decision: deciding.decision,
      ...(region === undefined ? {} : { region }),
      ...(deciding.decision === "edit" ? { cells: deciding.cells ?? [] } : {}),
    },
    why,
  );
}

/** The sheet of a role, a title, or a title's unmistakable part. @throws UnusableInput when there is none or more than one */
export function sheetNamed(sheets: readonly TableSheet[], wanted: string, slug: string): TableSheet {
  const plain = wanted.trim().toLowerCase();
  const exact = sheets.filter(({ table }) => table.role === plain || table.title.toLowerCase() === plain);
  const near = exact.length > 0 ? exact : sheets.filter(({ table }) => table.title.toLowerCase().includes(plain) || (table.role ?? "").includes(plain));
  if (near.length === 1) return near[0]!;
  const names = (near.length === 0 ? sheets : near).map(({ table }) => keyOfTable(table)).sort();
  throw new UnusableInput({
    at: { file: slug },
    what: near.length === 0 ? `The calibration has no table "${wanted}"` : `"${wanted}" fits ${near.length} tables`,
    do: names.length === 0 ? "Bring in the calibration first" : `Take one of ${names.join(", ")}`,
  });
}

function insideOf(region: CellRegion, rows: number, columns: number, sheet: TableSheet): CellRegion {
  const [[top, left], [bottom, right]] = region;
  const isInside = top >= 0 && left >= 0 && top <= bottom && left <= right && bottom < rows && right < columns;
  if (isInside) return region;
  throw new UnusableInput({
    at: { file: sheet.table.title },
    what: `There is no such cell: the table has rows 0 to ${rows - 1} and columns 0 to ${columns - 1}`,
    do: "Count rows and columns from zero, first corner top left",
  });
}

/** Tables as they would go into the next revision. */
export function pendingOf(book: Book, slug: string): readonly PendingTable[] {
  const { state } = readJob(book, slug);
  const sheets = revisionSheets(book, state, latestRevision(state));
  const asks = state.decisions.some((decision) => decision.decision === "accept" && decision.proposal === undefined);
  const proposals = asks ? analysisOf(book, slug).proposals : [];
  return pendingTables(book, state, sheets, (key) => proposedCells(proposals, key));
}

function proposedCells(proposals: readonly CorrectionProposal[], key: string): { readonly cells: Float64Array; readonly sd: Float64Array } | undefined {
  const proposal = proposals.find((made) => made.role === key);
  if (proposal === undefined) return undefined;
  const { cells } = proposal.after;
  return { cells, sd: proposal.sdKind === "relative" ? proposal.sd.map((sd, i) => sd * Math.abs(cells[i]!)) : proposal.sd };
}

/**
 * Makes the next revision: the newest one, or the calibration as received, with all decisions since.
 * @throws UnusableInput when no decision changes a cell
 */
export function makeRevision(book: Book, slug: string, name: string, why?: string): Revision {
  const { state, events } = readJob(book, slug);
  const pending = pendingOf(book, slug);
  if (!pending.some((table) => table.changed > 0))
    throw new UnusableInput({
      at: { file: slug },
      what: "No decision changes a cell, so there is nothing to make a revision of",
      do: "Accept what is proposed (fettle accept JOB TABLE) or set cells by hand (fettle edit JOB TABLE)",
    });
  const record = assembleRevision(book, state, events, pending, name);
  recordJobEvent(book, slug, "revision.made", record, why);
  return readJob(book, slug).state.revisions.at(-1)!;
}

/** A revision as files of a folder, ready to be taken back: one sheet a table, as it came but for the cells that changed. */
export function exportRevision(book: Book, slug: string, revision: number): readonly PacketFile[] {
  const { state } = readJob(book, slug);
  return revisionFiles(book, state, revision).map(({ path, bytes }) => ({ path: path.slice("calibration/as-received/".length), bytes }));
}

/** What differs between two revisions of a job; 0 is the calibration as received. */
export function differenceBetween(book: Book, slug: string, first: number, second: number): readonly TableDifference[] {
  const { state } = readJob(book, slug);
  const tables = (revision: number) => revisionSheets(book, state, revision).map((sheet) => sheet.table);
  return differenceOf(tables(first), tables(second));
}
