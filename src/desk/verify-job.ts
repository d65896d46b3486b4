import { type Book, readJob, revisionOf } from "../book/index.ts";
import type { CorrectionProposal } from "../core/corrections/index.ts";
import { type Packet, type ReplayPart, replayParts, type Verification, verifyRevision } from "../core/job/index.ts";
import { type Observations, observe } from "../core/residuals/index.ts";
import { type Calibration, calibrationOf, withCells } from "../core/tables/index.ts";
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

/** What tables that are not in the controller yet would do, by table and region, and by part of the controller's reckoning. */
export interface Promised extends Verification {
  readonly parts: readonly ReplayPart[];
}

/** A job's packet with its recordings read against the tables that were in the controller. */
export interface DrivenPacket {
  readonly packet: Packet;
  readonly observations: readonly Observations[];
}

/**
 * What the decisions since the newest revision promise: the error that the recorded drive showed, and what would be left of it with the
 * decided tables. `observed` stays empty, for nothing was driven with them. Undefined while nothing is decided or there are no tables.
 *
 * @param driven  left out: read from the book
 */
export function promiseOf(book: Book, slug: string, driven?: DrivenPacket): Promised | undefined {
  const pending = pendingOf(book, slug);
  if (!pending.some((table) => table.changed > 0)) return undefined;
  const after = calibrationOf(pending.map(({ sheet, decided }) => withCells(sheet.table, decided.cells)));
  return promised(driven ?? drivenPacket(book, slug), after);
}

/** What accepting everything that is asked for, but for what waits for a repair, would leave of the errors. Undefined where nothing is. */
export function promiseOfAsked(driven: DrivenPacket, proposals: readonly CorrectionProposal[]): Promised | undefined {
  const free = proposals.filter((proposal) => proposal.heldBecause === undefined);
  const before = driven.packet.asReceived;
  if (free.length === 0 || before === undefined) return undefined;
  const asked = before.tables.map((table) => free.find((proposal) => proposal.role === table.role)?.after ?? table);
  return promised(driven, calibrationOf(asked));
}

function drivenPacket(book: Book, slug: string): DrivenPacket {
  const { packet } = loadJob(book, slug);
  const { asReceived } = packet;
  return { packet, observations: asReceived === undefined ? [] : packet.recordings.map((recording) => observe(recording, asReceived, packet.intake)) };
}

function promised({ packet, observations }: DrivenPacket, after: Calibration): Promised | undefined {
  const before = packet.asReceived;
  if (before === undefined) return undefined;
  const verification = verifyRevision({ before, after, intake: packet.intake, drivenBefore: observations, drivenAfter: [] });
  return { ...verification, parts: replayParts(before, after, packet.intake, observations) };
}
