import { UnusableInput } from "../base/index.ts";
import { type Book, type JobEvent, keyOfTable, latestRevision, readJob, standing } from "../book/index.ts";
import { explainEdit } from "../core/edits/index.ts";
import { cellAt, columnsOf, rowsOf, sameAxes, type Table } from "../core/tables/index.ts";
import { when } from "./dates.ts";
import { pendingOf, sheetNamed, sheetsBeside } from "./revise.ts";

/**
 * How a cell came to its value, oldest first: the factory's, what the vehicle came with, every decision that touched it and every
 * revision that changed it, each with who, when and why.
 *
 * @param wanted  role, title, or an unmistakable part of either
 * @throws UnusableInput when the table or the cell is not there
 */
export function whyCell(book: Book, slug: string, wanted: string, row: number, column: number): string[] {
  const { state, events } = readJob(book, slug);
  const { inForce, factory } = sheetsBeside(book, state, 0);
  const { table } = sheetNamed(inForce, wanted, slug);
  if (!Number.isInteger(row) || !Number.isInteger(column) || row < 0 || column < 0 || row >= rowsOf(table) || column >= columnsOf(table))
    throw new UnusableInput({
      at: { file: table.title },
      what: `There is no cell in row ${row}, column ${column}`,
      do: `Rows run from 0 to ${rowsOf(table) - 1}, columns from 0 to ${columnsOf(table) - 1}`,
    });
  const key = keyOfTable(table);
  const reference = factory.find((sheet) => keyOfTable(sheet.table) === key)?.table;
  const story = (standing(events) as readonly JobEvent[]).flatMap((event) => told(event, key, table, row, column));
  return [...origin(table, reference, row, column), ...story, standsAt(book, slug, key, table, row, column, latestRevision(state))];
}

function origin(table: Table, reference: Table | undefined, row: number, column: number): string[] {
  const received = cellAt(table, row, column);
  const asReceived = `As received: ${shown(received, table)}`;
  if (reference === undefined) return [`${asReceived}. There is no factory table to compare with.`];
  const edit = explainEdit(table, reference);
  if (!sameAxes(table, reference)) return [`${asReceived}. Against the factory's table: ${edit.summary}.`];
  const before = cellAt(reference, row, column);
  const factory = `Factory: ${shown(before, table)}.`;
  if (edit.kind === "unchanged" || before === received) return [factory, `${asReceived}, as the factory has it.`];
  return [factory, `${asReceived}. Done to the table before it came: ${edit.summary}.`];
}

/** Lines of one event, none when it does not concern the cell. */
function told(event: JobEvent, key: string, table: Table, row: number, column: number): string[] {
  if (event.kind === "change.decided") return event.data.role === key ? decided(event, table, row, column) : [];
  if (event.kind !== "revision.made") return [];
  const change = event.data.tables.find((made) => (made.role ?? made.title) === key)?.changed.find((cell) => cell.row === row && cell.column === column);
  if (change === undefined) return [];
  const sure = change.sd === undefined ? "" : `, ± ${digits(change.sd)} (one standard deviation)`;
  return [
    `${when(event.at)}, ${event.by}: revision ${event.data.revision} "${event.data.name}" took it from ${shown(change.from, table)} to ${shown(change.to, table)}${sure}.`,
  ];
}

function decided(event: Extract<JobEvent, { kind: "change.decided" }>, table: Table, row: number, column: number): string[] {
  const { decision, region, cells, proposal } = event.data;
  const head = `${when(event.at)}, ${event.by}:`;
  const reason = event.why === undefined ? "" : ` Reason: ${sentence(event.why)}`;
  if (decision === "edit") {
    const edit = cells?.findLast((cell) => cell.row === row && cell.column === column);
    return edit === undefined ? [] : [`${head} set to ${shown(edit.value, table)} by hand.${reason}`];
  }
  if (region !== undefined && (row < region[0][0] || row > region[1][0] || column < region[0][1] || column > region[1][1])) return [];
  if (decision === "hold") return [`${head} held at the value before.${reason}`];
  const sd = proposal?.sd[row * columnsOf(table) + column];
  const sure = sd === null || sd === undefined ? "" : `, ± ${digits(sd)} ${table.unit}`;
  const fitted = proposal === undefined ? "" : ` (${[...proposal.recordings].join(", ")}${sure})`;
  const because = proposal === undefined ? "" : ` ${sentence(proposal.why)}`;
  const held = proposal?.heldBecause === undefined ? "" : ` It was held for ${proposal.heldBecause} and taken all the same.`;
  return [`${head} accepted what the recordings ask for${fitted}.${because}${held}${reason}`];
}

function standsAt(book: Book, slug: string, key: string, table: Table, row: number, column: number, revision: number): string {
  const pending = pendingOf(book, slug).find(({ sheet }) => keyOfTable(sheet.table) === key);
  const where = revision === 0 ? "as received" : `in revision ${revision}`;
  if (pending === undefined) return `Since then the table is no longer part of the calibration.`;
  const now = cellAt(pending.sheet.table, row, column);
  const next = pending.decided.cells[row * columnsOf(table) + column]!;
  return next === now ? `Now: ${shown(now, table)} ${where}.` : `Now: ${shown(now, table)} ${where}; ${shown(next, table)} with what was decided since.`;
}

function shown(value: number, table: Table): string {
  return `${digits(value)}${table.unit === "" ? "" : ` ${table.unit}`}`;
}

function digits(value: number): string {
  return String(Number(value.toPrecision(5)));
}

function sentence(text: string): string {
  const trimmed = text.trim();
  return /[.!?]$/.test(trimmed) ? trimmed : `${trimmed}.`;
}
