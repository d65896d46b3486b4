import { type Book, type JobEvent, type JobState, memoryOf, readJob, readOriginal, revisionFiles, sha256Of, standing } from "../book/index.ts";
import { fullLoadLambdaOf } from "../core/job/index.ts";
import {
  analysePulls,
  BEFORE_A_PULL,
  BEFORE_A_PULL_ITEMS,
  compareRevisions,
  type PullAnalysis,
  type Repeatability,
  type RevisionComparison,
  repeatability,
} from "../core/pulls/index.ts";
import { type PacketFile, readPacketWithSheets } from "../formats/index.ts";
import type { SweepDetail } from "../report/index.ts";
import { columnsOf } from "./analyse-job.ts";
import { intakeOf } from "./intake-of.ts";
import { sinceRepair } from "./since-repair.ts";
import { sweepDetail } from "./sweep-detail.ts";

/** The sweeps made on one calibration of a job. */
export interface RevisionPulls {
  /** 0 is the calibration as received. */
  readonly revision: number;
  readonly name: string;
  readonly pulls: readonly PullAnalysis[];
  readonly details: readonly SweepDetail[];
  readonly repeatability: Repeatability;
}

/** All sweeps of a job, by the calibration they were made on, and what changed between those. */
export interface PullsOfJob {
  readonly revisions: readonly RevisionPulls[];
  /** Each calibration against the one before it that was driven; the last against the first where others lie between. */
  readonly gains: readonly { readonly from: number; readonly to: number; readonly comparison: RevisionComparison }[];
}

/** @param standard  id of a power standard; left out: the intake sheet's. @throws RangeError when there is no such standard */
export function pullsOfJob(book: Book, slug: string, standard?: string): PullsOfJob {
  const { state } = readJob(book, slug);
  const revisions = driven(state).map((revision) => revisionPulls(book, state, revision, standard));
  const between = (from: RevisionPulls, to: RevisionPulls): PullsOfJob["gains"][number] => ({
    from: from.revision,
    to: to.revision,
    comparison: compareRevisions(from.pulls, to.pulls),
  });
  const [first, last] = [revisions[0], revisions.at(-1)];
  return {
    revisions,
    gains: [...revisions.slice(1).map((to, i) => between(revisions[i]!, to)), ...(revisions.length > 2 ? [between(first!, last!)] : [])],
  };
}

const isSweep = (file: { readonly path: string }): boolean => file.path.startsWith("pulls/");

function driven(state: JobState): number[] {
  const numbers = sinceRepair(state)
    .files.filter(isSweep)
    .map((file) => file.revision ?? 0);
  return [...new Set(numbers)].sort((a, b) => a - b);
}

/** Reads what the sweeps of one calibration need, and no more: a job's drives are long. */
function revisionPulls(book: Book, state: JobState, revision: number, standard: string | undefined): RevisionPulls {
  const intake = intakeOf(book, state);
  const name = state.revisions.find((made) => made.number === revision)?.name ?? "";
  if (intake === undefined) return { revision, name, pulls: [], details: [], repeatability: repeatability([]) };
  const coastDown = intake.dynamometer?.coastDown;
  const wanted = sinceRepair(state).files.filter(
    (file) => (isSweep(file) && (file.revision ?? 0) === revision) || (coastDown !== undefined && file.path.endsWith(coastDown)),
  );
  const files: PacketFile[] = [
    ...wanted.map((file) => ({ path: file.path, bytes: readOriginal(book, state.slug, file) })),
    ...revisionFiles(book, state, revision),
    { path: "intake.json", bytes: new TextEncoder().encode(JSON.stringify(intake)) },
  ];
  const memory = memoryOf(book);
  const { packet } = readPacketWithSheets(files, { columns: (path) => columnsOf(state, memory, path), roles: state.tableRoles });
  const fullLoadLambda = fullLoadLambdaOf(packet.asReceived);
  const pulls = analysePulls({ pulls: packet.pulls, recordings: packet.recordings, intake: packet.intake, standard, fullLoadLambda });
  const details = pulls.flatMap((pull) =>
    sweepDetail(
      pull,
      packet.pulls.find(({ file }) => file === pull.file),
      fullLoadLambda,
    ),
  );
  return { revision, name, pulls, details, repeatability: repeatability(pulls) };
}

/** Changes when something that sweeps are reckoned from changed. */
export function pullsKeyOf(book: Book, slug: string): string {
  const { state } = readJob(book, slug);
  const files = sinceRepair(state).files.map(({ path, sha256, revision }) => [path, sha256, revision]);
  const inputs = [files, state.intake, state.revisions.length, state.columns, state.tableRoles, memoryOf(book).columns];
  return sha256Of(new TextEncoder().encode(JSON.stringify(inputs))).slice(0, 16);
}

/** An item of the list before a pull: whether it is ticked, since when, and by whom. */
export interface TickedItem {
  readonly item: string;
  readonly ticked: boolean;
  readonly at?: string;
  readonly by?: string;
}

/** The list before a pull as it stands: the shop's own where it wrote one, and whatever else was ticked in it. */
export function beforeAPull(book: Book, slug: string): readonly TickedItem[] {
  const { events } = readJob(book, slug);
  const written = memoryOf(book).checklists;
  const own = Object.entries(written).find(([name]) => name.toLowerCase() === BEFORE_A_PULL)?.[1];
  const items =
    own === undefined
      ? BEFORE_A_PULL_ITEMS
      : own
          .split("\n")
          .map((line) => line.replace(/^[-*]\s*(\[.?\]\s*)?/, "").trim())
          .filter((line) => line !== "");
  const ticks = new Map<string, TickedItem>();
  for (const event of standing(events) as readonly JobEvent[])
    if (event.kind === "checklist.ticked" && event.data.list.toLowerCase() === BEFORE_A_PULL)
      ticks.set(event.data.item, { item: event.data.item, ticked: event.data.ticked, at: event.at, by: event.by });
  const others = [...ticks.values()].filter(({ item, ticked }) => ticked && !items.includes(item));
  return [...items.map((item) => ticks.get(item) ?? { item, ticked: false }), ...others];
}
