import { existsSync, readFileSync } from "node:fs";
import { deserialize, serialize } from "node:v8";
import { type Book, derivedOf, keepDerived, memoryOf, readJob } from "../book/index.ts";
import type { CorrectionProposal } from "../core/corrections/index.ts";
import type { RepairFirst } from "../core/faults/index.ts";
import type { JobOutcome } from "../core/job/index.ts";
import type { Result } from "../core/result/index.ts";
import { analyseJob, drivenRevision, keyOf, type LoadOptions } from "./analyse-job.ts";

/** What an analysis says, without the samples: small enough to be kept, so that a question asked twice is answered at once. */
export interface Analysis {
  readonly key: string;
  readonly revision: number;
  readonly result: Result;
  readonly proposals: readonly CorrectionProposal[];
  readonly tests: readonly {
    readonly id: string;
    readonly title: string;
    readonly how: string;
    readonly minutes: number;
    readonly bits: number;
    readonly outcomes: readonly string[];
    readonly cautions: readonly string[];
  }[];
  readonly recordNext: readonly string[];
  readonly repairFirst: readonly RepairFirst[];
}

export function analysisFrom(key: string, revision: number, outcome: JobOutcome): Analysis {
  const { diagnosis } = outcome;
  return {
    key,
    revision,
    result: outcome.result,
    proposals: outcome.proposals,
    tests: (diagnosis?.nextTests ?? []).map(({ test, bits }) => ({
      id: test.id,
      title: test.title,
      how: test.how,
      minutes: test.minutes,
      bits,
      outcomes: test.outcomes,
      cautions: test.cautions,
    })),
    recordNext: diagnosis?.recordNext ?? [],
    repairFirst: diagnosis?.repairFirst ?? [],
  };
}

/**
 * The analysis of a job, from the job's `derived` folder where the same inputs and the same program gave it before, else made and kept
 * there. A folder that can only be read costs the keeping, nothing else.
 */
export function analysisOf(book: Book, slug: string, options: LoadOptions & { readonly onProgress?: (text: string, share: number) => void } = {}): Analysis {
  const { state } = readJob(book, slug);
  const revision = options.revision ?? drivenRevision(state);
  const kept = keptAnalysisOf(book, slug, keyOf(state, memoryOf(book), revision));
  if (kept !== undefined) return kept;
  const { loaded, outcome } = analyseJob(book, slug, { ...options, revision });
  const analysis = analysisFrom(loaded.key, loaded.revision, outcome);
  keepAnalysis(book, slug, analysis);
  return analysis;
}

/** An analysis that was made before of the same inputs; undefined where none was. Never makes one. @param key  left out: of the job as it stands */
export function keptAnalysisOf(book: Book, slug: string, key = keyOf(readJob(book, slug).state, memoryOf(book))): Analysis | undefined {
  return derivedOf(book, slug, nameOf(key), (bytes) => deserialize(bytes) as Analysis);
}

/** Keeps an analysis that was made at hand, so that the next one who asks does not wait. */
export function keepAnalysis(book: Book, slug: string, analysis: Analysis): void {
  keepDerived(book, slug, nameOf(analysis.key), serialize(analysis), /^analysis-/);
}

function nameOf(key: string): string {
  return `analysis-${programMark()}-${key}.v8`;
}

let mark: string | undefined;

/** Changes with the program: results of another version are made again. */
function programMark(): string {
  if (mark !== undefined) return mark;
  const builtFor = new URL("../.built-for", import.meta.url);
  const about = new URL("../../package.json", import.meta.url);
  const text = existsSync(builtFor) ? readFileSync(builtFor, "utf8").trim() : (JSON.parse(readFileSync(about, "utf8")) as { version: string }).version;
  mark = text.replace(/[^A-Za-z0-9.]/g, "").slice(0, 12);
  return mark;
}
