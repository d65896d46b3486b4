export {
  addFiles,
  BOOK_SCHEMA,
  type Book,
  type BookOptions,
  createBook,
  createJob,
  jobFolder,
  jobSlugs,
  openBook,
  originalPath,
  readBookJournal,
  readJob,
  readOriginal,
  recordBookEvent,
  recordJobEvent,
  sha256Of,
} from "./book.ts";
export { type Disk, realDisk, writeWhole } from "./durable.ts";
export {
  type BookEventKind,
  type BookEvents,
  type CellEdit,
  type CellRegion,
  type JobEventKind,
  type JobEvents,
  type KeptFile,
  STATIONS,
  type StationId,
  type StationState,
} from "./events.ts";
export { lastUndoable, standing } from "./fold.ts";
export { type Decision, foldJob, type JobEvent, type JobState, type Revision, stationStates, type Wait } from "./job-state.ts";
export { type JournalEvent, type JournalReading, readJournal } from "./journal.ts";
export { type LockOwner, withLock } from "./lock.ts";
