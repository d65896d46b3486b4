import { type Book, readJob, revisionOf } from "../book/index.ts";
import { type Verification, verifyRevision } from "../core/job/index.ts";
import { observe } from "../core/residuals/index.ts";
import { calibrationOf, withCells } from "../core/tables/index.ts";
import { drivenRevision, loadJob } from "./analyse-job.ts";
import { pendingOf } from "./revise.ts";

/**
 * Whether a revision did what it promised: what it predicted on the recordings of the one it was made from, against what the recordings
 * made with it show; undefined for the calibration as received, which promised nothing.
 * @throws UnusableInput when the job has no such revision
 */
export function verifyJob(
  book: Book,
  slug: string,
  wanted?: number,
): { readonly revision: number; readonly from: number; readonly verification: Verification } | undefined {
  const { state } = readJob(book, slug);
  const revision = revisionOf(state, wanted ?? drivenRevision(state));
  if (revision === undefined) return undefined;
  const [earlier, newer] = [revision.from, revision.number].map((number) => loadJob(book, slug, { revision: number }).packet);
  const [before, after] = [earlier!.asReceived, newer!.asReceived];
  if (before === undefined || after === undefined) return undefined;
  const { intake } = newer!;
  const verification = verifyRevision({
    before,
    after,
    intake,
    drivenBefore: earlier!.recordings.map((recording) => observe(recording, before, intake)),
    drivenAfter: newer!.recordings.map((recording) => observe(recording, after, intake)),
  });
  return { revision: revision.number, from: revision.from, verification };
}

/**
 * What the decisions since the newest revision promise: the error that the recorded drive showed, and what would be left of it with the
 * decided tables. `observed` stays empty, for nothing was driven with them. Undefined while nothing is decided or there are no tables.
 */
export function promiseOf(book: Book, slug: string): Verification | undefined {
  const pending = pendingOf(book, slug);
  if (!pending.some((table) => table.changed > 0)) return undefined;
  const { packet } = loadJob(book, slug);
  const before = packet.asReceived;
  if (before === undefined) return undefined;
  const after = calibrationOf(pending.map(({ sheet, decided }) => withCells(sheet.table, decided.cells)));
  const drivenBefore = packet.recordings.map((recording) => observe(recording, before, packet.intake));
  return verifyRevision({ before, after, intake: packet.intake, drivenBefore, drivenAfter: [] });
}
