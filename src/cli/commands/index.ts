import type { Command } from "commander";
import { addAccept } from "./accept.ts";
import { addAdd } from "./add.ts";
import { addAnswer } from "./answer.ts";
import { addBegin } from "./begin.ts";
import { addBench } from "./bench.ts";
import { addBook } from "./book.ts";
import { addComeback } from "./comeback.ts";
import { addCompare } from "./compare.ts";
import { addCompletion } from "./completion.ts";
import { addCorrect } from "./correct.ts";
import { addCosts } from "./costs.ts";
import { addDiagnose } from "./diagnose.ts";
import { addEdit } from "./edit.ts";
import { addExplain } from "./explain.ts";
import { addExport } from "./export.ts";
import { addHistory } from "./history.ts";
import { addHold } from "./hold.ts";
import { addImport } from "./import.ts";
import { addInspect } from "./inspect.ts";
import { addIntake } from "./intake.ts";
import { addJobs } from "./jobs.ts";
import { addMark } from "./mark.ts";
import { addNote } from "./note.ts";
import { addObserve } from "./observe.ts";
import { addPart } from "./part.ts";
import { addPromise } from "./promise.ts";
import { addPulls } from "./pulls.ts";
import { addRedo } from "./redo.ts";
import { addReferences } from "./references.ts";
import { addRemember } from "./remember.ts";
import { addRename } from "./rename.ts";
import { addReport } from "./report.ts";
import { addRevise } from "./revise.ts";
import { addRole } from "./role.ts";
import { addRun } from "./run.ts";
import { addSchema } from "./schema.ts";
import { addSearch } from "./search.ts";
import { addSheets } from "./sheets.ts";
import { addShow } from "./show.ts";
import { addSignature } from "./signature.ts";
import { addSimulate } from "./simulate.ts";
import { addTakeOut } from "./take-out.ts";
import { addTick } from "./tick.ts";
import { addTime } from "./time.ts";
import { addUndo } from "./undo.ts";
import { addVerify } from "./verify.ts";
import { addWait } from "./wait.ts";
import { addWaitOver } from "./wait-over.ts";
import { addWaits } from "./waits.ts";
import { addWhy } from "./why.ts";

interface Group {
  readonly heading: string;
  readonly commands: readonly ((program: Command) => void)[];
}

/** Every command, in the order of the help: as a job goes. */
export const GROUPS: readonly Group[] = [
  { heading: "Without a book:", commands: [addRun, addSimulate, addExplain, addSchema, addCompletion] },
  { heading: "The bench and the book:", commands: [addBench, addBook, addRemember] },
  {
    heading: "Jobs:",
    commands: [
      addBegin,
      addJobs,
      addShow,
      addAdd,
      addTakeOut,
      addIntake,
      addReferences,
      addRename,
      addMark,
      addTick,
      addNote,
      addWait,
      addWaitOver,
      addWaits,
      addSearch,
    ],
  },
  { heading: "Looking:", commands: [addInspect, addRole, addAnswer, addDiagnose, addObserve] },
  { heading: "Changing:", commands: [addCorrect, addAccept, addHold, addEdit, addPromise, addRevise, addSheets, addCompare, addVerify, addWhy] },
  { heading: "Handing over:", commands: [addPulls, addReport, addSignature, addComeback, addTime, addPart, addCosts] },
  { heading: "Memory:", commands: [addHistory, addUndo, addRedo, addExport, addImport] },
];
