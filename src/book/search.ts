import type { Result } from "../core/result/index.ts";
import type { Book } from "./book.ts";
import type { JobState } from "./job-state.ts";
import { jobSlugs, readJob } from "./jobs.ts";

/** Where in a job the words stand. */
export type HitPlace = "job" | "vehicle" | "complaint" | "note" | "part" | "wait" | "test" | "decision" | "revision" | "file" | "finding" | "suspect";

export interface SearchHit {
  readonly job: string;
  readonly title: string;
  readonly place: HitPlace;
  readonly text: string;
  /** When it was entered; absent for what was worked out. */
  readonly at?: string;
}

interface Line {
  readonly place: HitPlace;
  readonly text: string;
  readonly at?: string;
}

/** A suspect this probable is worth finding again. */
const WORTH_FINDING = 0.2;

/**
 * Lines of all jobs that hold every word, letter case and accents aside: titles, vehicles, complaints, notes, parts, waits, outcomes of
 * tests, reasons, revisions, files, findings and suspects. Newest jobs first.
 *
 * @param resultOf  what an analysis said of a job, where one is at hand: looked up, never made for a search
 */
export function searchBook(book: Book, words: string, resultOf: (slug: string) => Result | undefined = () => undefined): readonly SearchHit[] {
  const wanted = plain(words)
    .split(/\s+/)
    .filter((word) => word !== "");
  if (wanted.length === 0) return [];
  const states = jobSlugs(book)
    .map((slug) => readJob(book, slug).state)
    .sort((a, b) => (a.lastAt > b.lastAt ? -1 : a.lastAt < b.lastAt ? 1 : a.slug < b.slug ? -1 : 1));
  return states.flatMap((state) =>
    [...linesOf(state), ...linesOfResult(resultOf(state.slug))]
      .filter(({ text }) => {
        // The job's own name may stand for one of the words: "wagon throttle" finds the throttle's note in the wagon's job.
        const there = plain(text);
        const about = plain(`${state.title} ${state.vehicle}`);
        return wanted.some((word) => there.includes(word)) && wanted.every((word) => there.includes(word) || about.includes(word));
      })
      .map((line): SearchHit => ({ job: state.slug, title: state.title, ...line })),
  );
}

function linesOf(state: JobState): readonly Line[] {
  const { intake } = state;
  return [
    { place: "job", text: `${state.title} (${state.slug})`, at: state.createdAt },
    ...(state.vehicle === "" ? [] : [{ place: "vehicle" as const, text: state.vehicle, at: state.createdAt }]),
    ...(intake?.vehicle?.label === undefined ? [] : [{ place: "vehicle" as const, text: intake.vehicle.label }]),
    ...(intake?.complaint === undefined ? [] : [{ place: "complaint" as const, text: intake.complaint }]),
    ...state.notes.map(({ text, at }) => ({ place: "note" as const, text, at })),
    ...state.parts.map(({ part, quality, at }) => ({ place: "part" as const, text: quality === undefined ? part : `${part}, ${quality}`, at })),
    ...state.waits.map(({ what, since }) => ({ place: "wait" as const, text: what, at: since })),
    ...state.observed.map(({ test, outcome, at }) => ({ place: "test" as const, text: `${test}: ${outcome}`, at })),
    ...state.decisions.map(({ role, decision, why, at }) => ({
      place: "decision" as const,
      text: `${decision} ${role}${why === undefined ? "" : `: ${why}`}`,
      at,
    })),
    ...state.revisions.map(({ number, name, why, at }) => ({
      place: "revision" as const,
      text: `revision ${number}, ${name}${why === undefined ? "" : `: ${why}`}`,
      at,
    })),
    ...state.files.map(({ path }) => ({ place: "file" as const, text: path })),
  ];
}

function linesOfResult(result: Result | undefined): readonly Line[] {
  if (result === undefined) return [];
  return [
    ...result.findings.map(({ check, severity, summary }) => ({ place: "finding" as const, text: `${severity}: ${summary} (${check})` })),
    ...result.suspects
      .filter(({ probability }) => probability >= WORTH_FINDING)
      .map(({ fault, probability }) => ({ place: "suspect" as const, text: `${fault}, ${Math.round(100 * probability)} %` })),
  ];
}

function plain(text: string): string {
  return text
    .normalize("NFKD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase();
}
