// The shop book: a plain folder of jobs that survives a changed laptop. Everything that others may use of it.

// Decisions and revisions.
export { applyDecisions, type DecidedCells, keyOfTable, type ProposedCells } from "./apply-decisions.ts";
// The folder, its head and its lock.
export { type Book, type BookOptions, createBook, openBook } from "./book.ts";
// A job in one file.
export { type Acquaintance, type Exported, exportJob, type Imported, importJob } from "./bundle.ts";
// Whether all is as it was.
export { type BookCheck, checkBook, isSound } from "./check.ts";
// Content by hash.
export { addFiles, originalPath, readOriginal, sha256Of } from "./content.ts";
// Lists over all jobs.
export { type CostLine, costLines, costsCsv } from "./costs.ts";
// Results that can be made again.
export { derivedOf, keepDerived } from "./derived.ts";
export { type Disk, realDisk, writeWhole } from "./durable.ts";
export {
  type AcceptedProposal,
  type BookEventKind,
  type BookEvents,
  type CellChange,
  type CellEdit,
  type CellRegion,
  type ControllerRead,
  type JobEventKind,
  type JobEvents,
  type KeptFile,
  type KeptRecording,
  type RevisionTable,
  STATIONS,
  type StationId,
  type StationState,
  WAIT_KINDS,
  type WaitKind,
} from "./events.ts";
export { lastUndoable, redoable, standing } from "./fold.ts";
export {
  type Decision,
  type FileInJob,
  foldJob,
  isDriven,
  type JobEvent,
  type JobState,
  type Resumption,
  type Revision,
  stationStates,
  type Wait,
} from "./job-state.ts";
// Jobs: their journals and what they add up to.
export {
  createJob,
  jobFolder,
  jobSlugs,
  readBookJournal,
  readJob,
  recordBookEvent,
  recordJobEvent,
  redoLast,
  undoLast,
} from "./jobs.ts";
export type { JournalEvent } from "./journal.ts";
export { BOOK_SCHEMA } from "./layout.ts";
export { breakLock, type LockOwner, lockOwner, withLock } from "./lock.ts";
// What the whole book remembers.
export {
  type CheckSetting,
  foldMemory,
  type InjectorSheet,
  type KeptReference,
  type Memory,
  memoryOf,
  type OfferedReference,
  offeredReferences,
  type RankedReference,
  rankReferences,
  unitSystemOf,
} from "./memory.ts";
// Recordings as columns.
export { keepRecording, keepRecordings, type ReadOriginal, readKeptRecording, recordingOf } from "./recordings.ts";
export {
  assembleRevision,
  differenceOf,
  keepProposal,
  latestRevision,
  type PendingTable,
  pendingTables,
  reasonOf,
  revisionFiles,
  revisionOf,
  type TableDifference,
} from "./revisions.ts";
export { type HitPlace, type SearchHit, searchBook } from "./search.ts";
