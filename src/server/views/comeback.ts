import type { ComebackView, SignatureView } from "../../api/index.ts";
import { type Book, readJob } from "../../book/index.ts";
import { MEASURES } from "../../core/comeback/index.ts";
import { FAULT_STORIES } from "../../core/faults/index.ts";
import { type ComebackOfJob, type EarlierVisit, earlierVisits, signatureKept } from "../../desk/index.ts";

export function signatureView(book: Book, slug: string): SignatureView {
  const visit = signatureKept(readJob(book, slug).state);
  return {
    kept: visit === undefined ? null : keptView(visit),
    visits: earlierVisits(book, slug).map(({ job, title, at, revision }) => ({ job, title, at, revision })),
  };
}

function keptView({ at, revision, signature }: EarlierVisit): SignatureView["kept"] {
  return {
    at,
    revision,
    residuals: signature.residuals.length,
    measures: signature.measures.flatMap(({ id, value, scatter, spells }) => {
      const measure = MEASURES.find((each) => each.id === id);
      return measure === undefined ? [] : [{ id, title: measure.title, unit: measure.unit, value, scatter, spells }];
    }),
    couldNot: signature.couldNot,
  };
}

export function comebackView(comeback: ComebackOfJob | undefined): ComebackView | null {
  if (comeback === undefined) return null;
  const { earlier, ours, comparison } = comeback;
  const titleOf = (fault: string): string => FAULT_STORIES.find((story) => story.id === fault)?.title ?? fault;
  return {
    earlier,
    ours: ours ?? null,
    ...comparison,
    suspects: comparison.suspects.map((suspect) => ({ ...suspect, title: titleOf(suspect.fault) })),
  };
}
