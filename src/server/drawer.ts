import type { VerificationView } from "../api/index.ts";
import { type Book, latestRevision, memoryOf, openBook, readJob } from "../book/index.ts";
import type { JobOutcome } from "../core/job/index.ts";
import { channelValues, type Recording } from "../core/recordings/index.ts";
import type { SignalId } from "../core/units/index.ts";
import {
  analyseJob,
  analysisFrom,
  changedTables,
  comebackOf,
  compareRevisions,
  decideOn,
  jobReport,
  keepAnalysis,
  keepSignature,
  layDownRecordings,
  loadJob,
  lookAt,
  makeRevision,
  type PullsOfJob,
  promiseOf,
  promiseOfAsked,
  pullsKeyOf,
  pullsOfJob,
  revisionSheets,
  takeAway,
  verifyJob,
  whyCell,
  zipOf,
} from "../desk/index.ts";
import type { Answers, DeskRequest, MapAsk, WindowAsk } from "./asks.ts";
import { COMPUTED } from "./series.ts";
import { type Blocks, blocksOf, statisticsOf } from "./statistics.ts";
import { analysisView, changedTableView } from "./views/analysis.ts";
import { comebackView } from "./views/comeback.ts";
import { guideView } from "./views/guide.ts";
import { pullsView } from "./views/pulls.ts";
import { promiseView, verificationView } from "./views/verification.ts";
import { type Pyramid, pyramidOf, windowOf } from "./windows.ts";

type Say = (text: string, share: number) => void;

interface Analysed {
  readonly key: string;
  readonly loaded: ReturnType<typeof loadJob>;
  readonly outcome: JobOutcome;
  readonly pyramids: Map<string, Pyramid>;
  readonly blocks: Map<string, Blocks>;
  readonly verified: Map<string, VerificationView | null>;
}

/** Where analysed jobs lie open, so that a pan or a zoom does not read the file again. A few at a time: a laptop has little room. */
export interface Drawer {
  readonly bookFolder: string;
  readonly by: string;
  readonly open: Map<string, Analysed>;
  /** Sweeps as they were last reckoned, by what they were reckoned from. */
  readonly sweeps: Map<string, PullsOfJob>;
}

const MOST_OPEN = 4;

export function makeDrawer(parts: { readonly bookFolder: string; readonly by: string }): Drawer {
  return { ...parts, open: new Map(), sweeps: new Map() };
}

export async function answerAsk(drawer: Drawer, request: DeskRequest, say: Say): Promise<Answers[keyof Answers]> {
  const { slug, ask } = request;
  const book = openBook(drawer.bookFolder, { by: drawer.by, now: () => new Date().toISOString() });
  switch (ask.what) {
    case "analyse": {
      const analysed = analysedJob(drawer, book, slug, true, say);
      const { state } = readJob(book, slug);
      const newest = state.revisions.length === 0 ? [] : revisionSheets(book, state, latestRevision(state)).map((sheet) => sheet.table);
      return analysisView(analysed.key, analysed.loaded, analysed.outcome, newest);
    }
    case "look":
      return lookAt(ask.name, ask.bytes, memoryOf(book).columns);
    case "lay-down":
      return { laid: (await layDownRecordings(book, slug, { onProgress: say })).length };
    case "window":
      return windowBytes(analysedJob(drawer, book, slug, false, say), ask);
    case "statistics": {
      const analysed = analysedJob(drawer, book, slug, false, say);
      return ask.signals.map((signal) => statisticsOf(signal, keptBlocks(analysed, ask.recording, signal), ask));
    }
    case "map":
      return mapBytes(analysedJob(drawer, book, slug, false, say), ask);
    case "report": {
      const { loaded, outcome } = analysedJob(drawer, book, slug, true, say);
      return jobReport(book, slug, loaded, outcome, ask);
    }
    case "decide":
      if (ask.deciding.decision === "accept") analysedJob(drawer, book, slug, true, say);
      decideOn(book, slug, ask.deciding, ask.why);
      return { done: true };
    case "revise":
      return { revision: makeRevision(book, slug, ask.name, ask.why).number };
    case "pulls":
      return pullsView(book, slug, sweepsOf(drawer, book, slug), ask.units);
    case "guide": {
      const { loaded, outcome } = analysedJob(drawer, book, slug, true, say);
      return guideView(loaded.packet.intake, outcome) ?? null;
    }
    case "signature":
      keepSignature(book, slug);
      return { done: true };
    case "comeback":
      return comebackView(comebackOf(book, slug, ask.from));
    case "why":
      return whyCell(book, slug, ask.table, ask.row, ask.column);
    case "promise": {
      const { loaded, outcome } = analysedJob(drawer, book, slug, true, say);
      const driven = { packet: loaded.packet, observations: outcome.observations };
      const promise = ask.of === "asked" ? promiseOfAsked(driven, outcome.proposals) : promiseOf(book, slug, driven);
      return promise === undefined ? null : promiseView(promise);
    }
    case "verify":
      return keptVerification(analysedJob(drawer, book, slug, true, say), book, slug, ask.revision);
    case "compare":
      return compareRevisions(book, slug, ask.from, ask.to);
    case "changed":
      return changedTables(book, slug, ask.from, ask.to).map(changedTableView);
    case "sheets":
      return zipOf(takeAway(book, slug, ask.revision, ask.take));
  }
}

function sweepsOf(drawer: Drawer, book: Book, slug: string): PullsOfJob {
  const key = `${slug} ${pullsKeyOf(book, slug)}`;
  const kept = drawer.sweeps.get(key);
  if (kept !== undefined) return kept;
  const made = pullsOfJob(book, slug);
  for (const other of drawer.sweeps.keys()) if (other.startsWith(`${slug} `)) drawer.sweeps.delete(other);
  drawer.sweeps.set(key, made);
  return made;
}

/** @param isChecked  whether what lies open must be what the book now says; drawing asks come by the dozen a second and take what lies there */
function analysedJob(drawer: Drawer, book: Book, slug: string, isChecked: boolean, say: Say): Analysed {
  const kept = drawer.open.get(slug);
  if (kept !== undefined && !isChecked) return kept;
  if (kept !== undefined && kept.key === loadJob(book, slug).key) return kept;
  const { loaded, outcome } = analyseJob(book, slug, { onProgress: say });
  keepAnalysis(book, slug, analysisFrom(loaded.key, loaded.revision, outcome));
  const analysed: Analysed = { key: loaded.key, loaded, outcome, pyramids: new Map(), blocks: new Map(), verified: new Map() };
  drawer.open.delete(slug);
  drawer.open.set(slug, analysed);
  for (const oldest of drawer.open.keys()) {
    if (drawer.open.size <= MOST_OPEN) break;
    drawer.open.delete(oldest);
  }
  return analysed;
}

interface Series {
  readonly timeS: Float64Array;
  readonly values: Float64Array;
}

/** A recorded or computed series; undefined when the recording has none of that name. */
function seriesOf(analysed: Analysed, index: number, id: string): Series | undefined {
  const { packet } = analysed.loaded;
  const recording: Recording | undefined = [...packet.recordings, ...packet.pulls][index];
  if (recording === undefined) return undefined;
  const recorded = channelValues(recording, id as SignalId);
  if (recorded !== undefined) return { timeS: recording.timeS, values: recorded };
  const seen = analysed.outcome.observations[index];
  const computed = COMPUTED.find((series) => series.id === id);
  return seen === undefined || computed === undefined ? undefined : { timeS: seen.timeS, values: computed.of(seen) };
}

/** Blocks for statistics, made once a series. */
function keptBlocks(analysed: Analysed, recording: number, signal: string): Blocks | undefined {
  const name = `${recording} ${signal}`;
  const kept = analysed.blocks.get(name);
  if (kept !== undefined) return kept;
  const series = seriesOf(analysed, recording, signal);
  if (series === undefined) return undefined;
  const made = blocksOf(series);
  analysed.blocks.set(name, made);
  return made;
}

/** A verification reads every recording of two revisions: made once for the files and revisions that the job has. */
function keptVerification(analysed: Analysed, book: Book, slug: string, revision: number | undefined): VerificationView | null {
  const { files, revisions } = readJob(book, slug).state;
  const name = JSON.stringify([revision, revisions.length, files.map((file) => [file.path, file.sha256, file.revision])]);
  if (!analysed.verified.has(name)) analysed.verified.set(name, verificationView(verifyJob(book, slug, revision)));
  return analysed.verified.get(name) ?? null;
}

function windowBytes(analysed: Analysed, ask: WindowAsk): Uint8Array {
  const blocks = new Float32Array(ask.signals.length * 2 * ask.width).fill(Number.NaN);
  ask.signals.forEach((signal, i) => {
    const name = `${ask.recording} ${signal}`;
    let pyramid = analysed.pyramids.get(name);
    if (pyramid === undefined) {
      const series = seriesOf(analysed, ask.recording, signal);
      if (series === undefined) return;
      pyramid = pyramidOf(series.timeS, series.values);
      analysed.pyramids.set(name, pyramid);
    }
    blocks.set(windowOf(pyramid, ask.fromS, ask.toS, ask.width), i * 2 * ask.width);
  });
  return new Uint8Array(blocks.buffer);
}

/** Points of the operating map: time, engine speed, pressure, colour; every nth sample where there are more than asked for. */
function mapBytes(analysed: Analysed, ask: MapAsk): Uint8Array {
  const seen = analysed.outcome.observations[ask.recording];
  if (seen === undefined) return new Uint8Array(0);
  const series = seriesOf(analysed, ask.recording, ask.colour);
  const rows: number[] = [];
  for (let i = 0; i < seen.n; i++) if (seen.rpm[i]! > 200 && Number.isFinite(seen.mapKpa[i]!)) rows.push(i);
  const step = Math.max(1, Math.ceil(rows.length / ask.most));
  const chosen = rows.filter((_, i) => i % step === 0);
  const blocks = new Float32Array(4 * chosen.length);
  let at = 0;
  chosen.forEach((row, i) => {
    const timeS = seen.timeS[row]!;
    blocks[i] = timeS;
    blocks[chosen.length + i] = seen.rpm[row]!;
    blocks[2 * chosen.length + i] = seen.mapKpa[row]!;
    if (series === undefined) return;
    while (at + 1 < series.timeS.length && series.timeS[at + 1]! <= timeS) at++;
    blocks[3 * chosen.length + i] = heldValue(series.values, at);
  });
  return new Uint8Array(blocks.buffer);
}

/** The last sample at or before a row: slow channels have blanks between their samples. */
function heldValue(values: Float64Array, at: number): number {
  for (let i = at; i >= 0 && i > at - 200; i--) if (!Number.isNaN(values[i]!)) return values[i]!;
  return Number.NaN;
}
