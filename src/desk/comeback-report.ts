import { type Book, type JobState, readJob } from "../book/index.ts";
import { MEASURES } from "../core/comeback/index.ts";
import type { ComebackDetail, LeftDetail, ReportModel } from "../report/index.ts";
import { comebackOf, signatureKept } from "./comeback.ts";
import { when } from "./dates.ts";

/** What a job's report tells of how the vehicle leaves, and of how it left before. */
export function visitDetails(book: Book, slug: string): Pick<ReportModel, "left" | "comeback"> {
  const left = leftDetail(readJob(book, slug).state);
  const comeback = comebackDetail(book, slug);
  return { ...(left === undefined ? {} : { left }), ...(comeback === undefined ? {} : { comeback }) };
}

function leftDetail(state: JobState): LeftDetail | undefined {
  const kept = signatureKept(state);
  if (kept === undefined) return undefined;
  const figures = kept.signature.measures.flatMap(({ id, value, scatter, spells }) => {
    const measure = MEASURES.find((each) => each.id === id);
    return measure === undefined ? [] : [{ title: measure.title, unit: measure.unit, value, scatter, spells }];
  });
  return { on: day(kept.at), revision: kept.revision, residuals: kept.signature.residuals.length, figures };
}

function comebackDetail(book: Book, slug: string): ComebackDetail | undefined {
  const comeback = comebackOf(book, slug);
  if (comeback === undefined) return undefined;
  const { earlier, ours, comparison } = comeback;
  const { calibration, ...compared } = comparison;
  return {
    left: { job: earlier.title, on: day(earlier.at), revision: earlier.revision },
    ...(ours === undefined ? {} : { ours }),
    tables: calibration,
    ...compared,
  };
}

function day(iso: string): string {
  return when(iso).slice(0, 10);
}
