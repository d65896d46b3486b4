import type { Book } from "../book/index.ts";
import { repeatability } from "../core/pulls/index.ts";
import { ENGLISH, type ReportModel } from "../report/index.ts";
import { when } from "./dates.ts";
import { beforeAPull, type PullsOfJob, pullsOfJob, type RevisionPulls } from "./pulls-of-job.ts";

type PullsModel = Pick<ReportModel, "series" | "gains" | "checklist">;

/** A job's sweeps by calibration, what changed between those, and the list before them, as the report is told. */
export function pullsModelOf(book: Book, slug: string, pulls: PullsOfJob = pullsOfJob(book, slug)): PullsModel {
  const names = new Map(pulls.revisions.map((one) => [one.revision, nameOf(one)]));
  const checklist = beforeAPull(book, slug).map(({ item, ticked, at, by }) => ({
    item,
    ticked,
    ...(at === undefined ? {} : { at: when(at) }),
    ...(by === undefined ? {} : { by }),
  }));
  return {
    series: pulls.revisions.map((one) => ({
      name: nameOf(one),
      pulls: one.pulls.flatMap(({ result }) => (result === undefined ? [] : [result])),
      sweeps: one.details,
      repeats: one.repeatability.summary,
    })),
    gains: pulls.gains.map(({ from, to, comparison }) => ({
      from: names.get(from)!,
      to: names.get(to)!,
      summary: comparison.summary,
      measures: comparison.gains,
      byRpm: comparison.byRpm,
      remarks: comparison.remarks,
    })),
    checklist,
  };
}

function nameOf({ revision, name }: Pick<RevisionPulls, "revision" | "name">): string {
  return revision === 0 ? ENGLISH.pulls.received : ENGLISH.pulls.revision(revision, name);
}

/** The sweeps of a packet, all on the calibration as received. */
export function oneSeries(outcome: { readonly pulls: Parameters<typeof repeatability>[0] }, sweeps: NonNullable<ReportModel["sweeps"]>): PullsModel {
  const pulls = outcome.pulls.flatMap(({ result }) => (result === undefined ? [] : [result]));
  return pulls.length === 0 ? {} : { series: [{ name: ENGLISH.pulls.received, pulls, sweeps, repeats: repeatability(outcome.pulls).summary }] };
}
