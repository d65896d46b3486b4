import type { BoardView, JobCard, JobView, StationView, WaitView } from "../../api/index.ts";
import { formatProblem } from "../../base/index.ts";
import { type Book, type JobState, jobSlugs, lastUndoable, memoryOf, readBookJournal, readJob, STATIONS, standing, stationStates } from "../../book/index.ts";
import { remeasureAfter } from "../../core/job/index.ts";
import { isDemoBook } from "../../demo/index.ts";
import { measureAgain, nextAction, type OpenCounts, openCounts } from "../../desk/index.ts";
import type { Shelf } from "../shelf.ts";

const NAMES: Readonly<Record<(typeof STATIONS)[number], string>> = {
  intake: "Intake",
  reading: "Reading",
  inspection: "Inspection",
  recordings: "Recordings",
  diagnosis: "Diagnosis",
  "change-sheet": "Change sheet",
  pulls: "Pulls",
  handover: "Handover",
};

/** All jobs of the book: the ones that wait or were touched last come first. */
export function boardView(book: Book, shelf?: Shelf): BoardView {
  const remembered = standing(readBookJournal(book).events);
  const shop = remembered.filter((event) => event.kind === "shop.named").at(-1)?.data as { name: string } | undefined;
  const units = Object.fromEntries(
    remembered
      .filter((event) => event.kind === "units.preferred")
      .map((event) => Object.values(event.data as { quantity: string; unit: string }) as [string, string]),
  );
  const jobs = jobSlugs(book)
    .map((slug) => {
      const { state, problems } = readJob(book, slug);
      return cardOf(book, state, problems.length === 0 ? undefined : problems.map(formatProblem).join(" "));
    })
    .sort((a, b) => (a.lastAt > b.lastAt ? -1 : 1));
  const making = shelf?.making();
  return {
    shop: shop?.name ?? "",
    folder: book.folder,
    book: {
      isDemo: isDemoBook(book),
      canChange: shelf !== undefined,
      hasOwn: shelf?.has("own") ?? true,
      ...(making === undefined ? {} : { making }),
    },
    jobs,
    units,
  };
}

export function jobView(book: Book, slug: string): JobView {
  const { state, events, problems } = readJob(book, slug);
  const last = lastUndoable(events);
  const newest = events.at(-1);
  const undone = newest?.kind === "undone" ? events.find((event) => event.number === (newest.data as { number: number }).number) : undefined;
  return {
    ...cardOf(book, state, problems.length === 0 ? undefined : problems.map(formatProblem).join(" ")),
    intake: state.intake,
    files: state.files,
    notes: state.notes,
    observed: state.observed,
    answers: state.answers,
    decisions: state.decisions,
    revisions: state.revisions,
    ticks: state.ticks,
    tableRoles: state.tableRoles,
    namedColumns: state.columns,
    learnedColumns: memoryOf(book).columns,
    checklists: checklistsOf(book),
    reads: state.reads,
    parts: state.parts,
    time: state.time,
    measureAgain: measureAgain(state).map(({ fault, what, settles, by, isDone }) => ({ fault, what, settles, by, isDone })),
    ...(last === undefined ? {} : { undo: plainName(last.kind) }),
    ...(undone === undefined ? {} : { redo: plainName(undone.kind) }),
  };
}

/** Plans for reading a controller, as the book last has them. */
function checklistsOf(book: Book): Readonly<Record<string, string>> {
  const written = standing(readBookJournal(book).events).filter((event) => event.kind === "checklist.written");
  return Object.fromEntries(written.map((event) => [(event.data as { name: string }).name, (event.data as { text: string }).text]));
}

const PLAIN_NAMES: Readonly<Record<string, string>> = {
  "job.renamed": "the new name",
  "files.added": "the files added",
  "files.withdrawn": "the files taken out",
  "intake.written": "the change of the intake sheet",
  "station.marked": "the mark at the station",
  "wait.began": "the wait",
  "wait.ended": "the end of the wait",
  "note.written": "the note",
  "test.observed": "the test's outcome",
  "finding.answered": "the answer to the finding",
  "change.decided": "the decision on the table",
  "revision.made": "the revision",
  "column.named": "the column's name",
  "table.named": "the table's role",
  "checklist.ticked": "the tick",
  "controller.read": "the read of the controller",
  "time.logged": "the time",
  "part.used": "the part",
  "report.made": "the report",
};

function plainName(kind: string): string {
  return PLAIN_NAMES[kind] ?? "the last entry";
}

function cardOf(book: Book, state: JobState, damage: string | undefined): JobCard {
  const open = openCounts(book, state);
  return {
    slug: state.slug,
    title: state.title,
    vehicle: state.vehicle,
    createdAt: state.createdAt,
    lastAt: state.lastAt,
    stations: stationsOf(state, open),
    waits: state.waits.map(waitView),
    nextAction: nextAction(state, open),
    ...(damage === undefined ? {} : { damage }),
  };
}

function waitView({ number, since, kind, what, until, fault }: JobState["waits"][number]): WaitView {
  return {
    number,
    since,
    kind,
    what,
    ...(until === undefined ? {} : { until }),
    ...(fault === undefined ? {} : { fault }),
    measureAgain: fault === undefined ? [] : remeasureAfter(fault).map((item) => item.what),
  };
}

function stationsOf(state: JobState, open: OpenCounts): readonly StationView[] {
  const states = stationStates(state);
  const waiting = state.waits.length > 0 ? nextAction(state).station : undefined;
  return STATIONS.map((id) => ({ id, name: NAMES[id], state: waiting === id ? "waiting" : states[id], open: open[id] ?? 0 }));
}
