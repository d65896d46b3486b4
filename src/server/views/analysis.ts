import type { AnalysisView, AxisView, ChangedTableView, Numbers, RecordingView, StoryView, SweepView, TableView, TestView } from "../../api/index.ts";
import { FAULT_STORIES, WORKSHOP_TESTS } from "../../core/faults/index.ts";
import type { JobOutcome } from "../../core/job/index.ts";
import type { Recording } from "../../core/recordings/index.ts";
import { durationS } from "../../core/recordings/index.ts";
import type { Observations } from "../../core/residuals/index.ts";
import type { Axis, Table } from "../../core/tables/index.ts";
import { describeSignal } from "../../core/units/index.ts";
import { alignmentDetails, type LoadedPacket, rolesThatFit } from "../../desk/index.ts";
import { alignmentPictures } from "../../report/index.ts";
import { COMPUTED } from "../series.ts";

/** The analysis of a job as the bench shows it, without the samples. */
export function analysisView(key: string, loaded: LoadedPacket, outcome: JobOutcome, newest: readonly Table[] = []): AnalysisView {
  const { diagnosis } = outcome;
  return {
    key,
    intake: loaded.packet.intake,
    result: outcome.result,
    faults: Object.fromEntries(FAULT_STORIES.map(({ id, title, what, cost }) => [id, { title, what, cost }])),
    recordings: [
      ...loaded.packet.recordings.map((recording, i) => recordingView(recording, i, "recordings", outcome.observations[i])),
      ...loaded.packet.pulls.map((pull, i) => recordingView(pull, loaded.packet.recordings.length + i, "pulls", undefined)),
    ],
    tables: tableViews(loaded, outcome, newest),
    stories: (diagnosis?.pictures ?? []).map(storyView),
    tests: testViews(diagnosis?.nextTests ?? []),
    alignments: alignmentDetails(outcome).flatMap((detail, i) => {
      let next = 0;
      return alignmentPictures(detail, () => `alignment-${i}-${next++}`).map(({ svg, caption }) => ({ svg, caption }));
    }),
    recordNext: diagnosis?.recordNext ?? [],
    repairFirst: (diagnosis?.repairFirst ?? []).map(({ fault, title, probability, because, holds }) => ({ fault, title, probability, because, holds })),
    sweeps: outcome.pulls.flatMap((pull): SweepView[] =>
      pull.curve === undefined
        ? []
        : [{ file: pull.file, rpm: numbers(pull.curve.rpm), powerKw: numbers(pull.curve.powerKw), torqueNm: numbers(pull.curve.torqueNm) }],
    ),
  };
}

/** Tests by what they would tell; those that would tell nothing new follow, since their outcome may be at hand all the same. */
function testViews(ranked: NonNullable<JobOutcome["diagnosis"]>["nextTests"]): TestView[] {
  const told = new Set(ranked.map(({ test }) => test.id));
  const others = WORKSHOP_TESTS.filter((test) => !told.has(test.id)).map((test) => ({ test, bits: 0 }));
  return [...ranked, ...others].map(({ test, bits }) => ({
    id: test.id,
    title: test.title,
    how: test.how,
    minutes: test.minutes,
    bits,
    cautions: test.cautions,
    outcomes: test.outcomes.map((outcome) => ({ id: outcome, text: outcome })),
  }));
}

export function numbers(values: ArrayLike<number>): Numbers {
  return Array.from(values, (value) => (Number.isFinite(value) ? value : null));
}

function recordingView(recording: Recording, index: number, folder: RecordingView["folder"], seen: Observations | undefined): RecordingView {
  const recorded = Object.values(recording.channels).map(({ signal, source, confidence }) => ({
    id: signal,
    name: describeSignal(signal).name,
    unit: describeSignal(signal).unit,
    source,
    confidence,
  }));
  const computed =
    seen === undefined ? [] : COMPUTED.filter(({ of }) => of(seen).some((value) => Number.isFinite(value))).map(({ id, name, unit }) => ({ id, name, unit }));
  return {
    index,
    file: recording.file,
    folder,
    rows: recording.timeS.length,
    durationS: durationS(recording),
    signals: [...recorded, ...computed],
    unrecognised: recording.others.map((column) => column.source),
    repairs: recording.repairs,
    moments: seen?.moments ?? [],
  };
}

/** @param newest  tables of the newest revision, empty while there is none */
function tableViews(loaded: LoadedPacket, outcome: JobOutcome, newest: readonly Table[]): TableView[] {
  const { asReceived, reference } = loaded.packet;
  const sheets = new Map(loaded.asReceivedSheets.map((sheet) => [sheet.table, sheet]));
  const views = (asReceived?.tables ?? []).map((table) => {
    const sheet = sheets.get(table);
    const factory = reference?.tables.find((other) => (table.role === undefined ? other.title === table.title : other.role === table.role));
    const proposal = outcome.proposals.find((made) => made.role === table.role);
    const deviation = proposal?.sd.map((sd, i) => (proposal.sdKind === "relative" ? sd * Math.abs(proposal.after.cells[i]!) : sd));
    const edit = outcome.result.edits.find((made) => made.table === table.title);
    const current = newest.find((other) => other.title === table.title && other.cells.length === table.cells.length);
    return {
      ...shape(table),
      asReceived: numbers(table.cells),
      ...(current === undefined ? {} : { current: numbers(current.cells) }),
      ...(factory !== undefined && factory.cells.length === table.cells.length ? { reference: numbers(factory.cells) } : {}),
      ...(proposal === undefined ? {} : { proposed: numbers(proposal.after.cells), coverage: numbers(proposal.coverage), why: proposal.why }),
      ...(deviation === undefined ? {} : { deviation: numbers(deviation) }),
      ...(proposal?.heldBecause === undefined ? {} : { heldBecause: proposal.heldBecause }),
      ...(edit === undefined ? {} : { edit: edit.summary }),
      ...(table.role !== undefined && sheet !== undefined && sheet.statedRole === undefined ? { isGuessed: true } : {}),
      couldBe: sheet === undefined ? [] : rolesThatFit(sheet),
    };
  });
  return views.sort((a, b) => ((a.role ?? a.title) < (b.role ?? b.title) ? -1 : 1));
}

export function changedTableView({ from, to }: { readonly from: Table; readonly to: Table }): ChangedTableView {
  return { ...shape(to), from: numbers(from.cells), to: numbers(to.cells) };
}

function shape(table: Table): Pick<TableView, "role" | "title" | "unit" | "x" | "y"> {
  return {
    ...(table.role === undefined ? {} : { role: table.role }),
    title: table.title,
    unit: table.unit,
    ...(table.x === undefined ? {} : { x: axis(table.x) }),
    ...(table.y === undefined ? {} : { y: axis(table.y) }),
  };
}

function axis({ name, unit, values }: Axis): AxisView {
  return { name, unit, values: Array.from(values) };
}

function storyView(picture: NonNullable<JobOutcome["diagnosis"]>["pictures"][number]): StoryView {
  const { fault, title, x, y, points, curve } = picture;
  return { fault, title, x, y, points: points.map(({ x: px, y: py, sd, recording, fromS, toS }) => ({ x: px, y: py, sd, recording, fromS, toS })), curve };
}
