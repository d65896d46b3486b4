import type { Result } from "../core/result/index.ts";
import type { Book } from "./book.ts";
import type { JobState } from "./job-state.ts";
import { jobSlugs, readJob } from "./jobs.ts";

/** Where in a job the words stand. */
export type HitPlace =
  | "job"
  | "vehicle"
  | "complaint"
  | "note"
  | "reading"
  | "part"
  | "time"
  | "wait"
  | "test"
  | "answer"
  | "decision"
  | "revision"
  | "file"
  | "recording"
  | "table"
  | "finding"
  | "suspect";

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
 * Lines of all jobs that hold every word, letter case and accents aside: titles, vehicles, complaints, notes, reads of the controller, parts,
 * time, waits, outcomes of tests, answers, reasons, revisions, files, signals, tables, findings and suspects. Newest jobs first.
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
    ...state.reads.map((read) => ({
      place: "reading" as const,
      text: [read.plan, read.method, read.fusesOut, read.connectors, read.who, read.remark].filter((part) => part !== undefined && part !== "").join(", "),
      at: read.at,
    })),
    ...state.time.map(({ what, minutes, at }) => ({ place: "time" as const, text: `${minutes} min ${what}`, at })),
    ...state.waits.map(({ what, since }) => ({ place: "wait" as const, text: what, at: since })),
    ...state.resumed.map(({ what, endedAt }) => ({ place: "wait" as const, text: `${what}: here`, at: endedAt })),
    ...state.observed.map(({ test, outcome, at }) => ({ place: "test" as const, text: `${test.replaceAll("-", " ")}: ${outcome} (${test})`, at })),
    ...Object.entries(state.answers).map(([finding, { answer, why, at }]) => ({
      place: "answer" as const,
      text: `${answer} ${finding}${why === undefined ? "" : `: ${why}`}`,
      at,
    })),
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
    ...signalLines(state),
  ];
}

/** One line a recorded signal, with the recordings that have it. */
function signalLines(state: JobState): readonly Line[] {
  const names = [...new Set(state.recordings.flatMap(({ signals }) => Object.keys(signals)))].sort();
  return names.map((name) => {
    const having = state.recordings.filter(({ signals }) => Object.hasOwn(signals, name)).map(({ path }) => path);
    return { place: "recording", text: `${name}: ${having.join(", ")}` };
  });
}

function linesOfResult(result: Result | undefined): readonly Line[] {
  if (result === undefined) return [];
  return [
    ...result.edits.map(({ table, role, summary }) => ({
      place: "table" as const,
      text: `${table}${role === undefined ? "" : ` (${role})`}: ${summary === "" ? "unchanged" : summary}`,
    })),
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
