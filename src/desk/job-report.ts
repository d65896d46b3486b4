import { type Book, memoryOf, type Revision, readJob, unitSystemOf } from "../book/index.ts";
import { WORKSHOP_TESTS } from "../core/faults/index.ts";
import type { JobOutcome } from "../core/job/index.ts";
import { type ChangeRecord, type FileRecord, type ReportModel, renderOwnerReport, renderReport, renderWorkshopSheet } from "../report/index.ts";
import { visitDetails } from "./comeback-report.ts";
import { when } from "./dates.ts";
import { reportFonts } from "./fonts.ts";
import type { LoadedPacket } from "./loaded.ts";
import { pullsModelOf } from "./pulls-model.ts";
import { reportModelOf } from "./report-of.ts";

export interface JobReport {
  readonly kind: "job" | "owner" | "workshop";
  /** Left out: as the book prefers. */
  readonly units?: "metric" | "imperial";
}

/** A job's report as one page: the answer of its analysis with what the book knows of it. */
export function jobReport(book: Book, slug: string, loaded: LoadedPacket, outcome: JobOutcome, wanted: JobReport): string {
  const memory = memoryOf(book);
  const { state } = readJob(book, slug);
  const newest = state.revisions.at(-1);
  const base = reportModelOf(loaded, outcome);
  const model: ReportModel = {
    ...base,
    about: {
      ...base.about,
      date: when(book.now()).slice(0, 10),
      by: memory.shop === "" ? book.by : memory.shop,
      job: state.title,
      ...(newest === undefined ? {} : { revision: `${newest.number}, ${newest.name}` }),
    },
    changes: state.revisions.flatMap(changesOf),
    files: [...(base.files ?? []), ...(newest?.tables ?? []).filter((table) => table.changed.length > 0).map(writtenTable)],
    ...pullsModelOf(book, slug),
    ...visitDetails(book, slug),
    fitted: state.parts.map((used) => ({ part: partText(used), ...(used.quality === undefined ? {} : { quality: used.quality }) })),
    tested: state.observed.map(({ test, outcome: seen }) => ({ test: WORKSHOP_TESTS.find(({ id }) => id === test)?.title ?? test, outcome: seen })),
  };
  const options = { fonts: reportFonts(), units: wanted.units ?? unitSystemOf(memory) };
  if (wanted.kind === "owner") return renderOwnerReport(model, options);
  return wanted.kind === "workshop" ? renderWorkshopSheet(model, options) : renderReport(model, options);
}

/** Changed tables of a revision, each with its reasons. */
function changesOf(revision: Revision): ChangeRecord[] {
  return revision.tables
    .filter((table) => table.changed.length > 0)
    .map((table) => ({
      table: table.title,
      ...(table.role === undefined ? {} : { role: table.role }),
      cells: table.changed.length,
      isByHand: table.changed.some((cell) => cell.sd === undefined),
      what: `${table.changed.length} cells, revision ${revision.number}`,
      reason: table.reasons.map((reason) => reason.replace(/[.]$/, "")).join("; "),
      by: revision.by,
      on: when(revision.at),
    }));
}

function partText(used: { readonly part: string; readonly quantity: number }): string {
  return used.quantity === 1 ? used.part : `${used.quantity} × ${used.part}`;
}

/** A table of the newest revision as it is taken back. */
function writtenTable({ file, sha256 }: Revision["tables"][number]): FileRecord {
  return { path: file, sha256, direction: "written" };
}
