import type { Command } from "commander";
import { readJob, stationStates } from "../../book/index.ts";
import { measureAgain, nextAction, when } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { block, columns, fileRows, page, wrapped } from "../text.ts";

export function addShow(program: Command): void {
  bookCommand(
    program,
    {
      usage: "show <job>",
      about: "Show a job as it stands: stations, waits, files, revisions, notes, and what comes next",
      args: { job: "short name of the job" },
      examples: ["fettle show wagon-rough-idle", "fettle show wagon-rough-idle --json"],
    },
    ({ book, args: [job] }) => {
      const { state, problems } = readJob(book, job!);
      const stations = stationStates(state);
      const again = measureAgain(state);
      const next = nextAction(state);
      const open = state.decisions.length;
      return {
        json: { ...state, stations, next, measureAgain: again, problems },
        text: page(
          wrapped(`${state.title}${state.vehicle === "" ? "" : ` (${state.vehicle})`}, begun ${when(state.createdAt)}, last entry ${when(state.lastAt)}`),
          `Next: ${next.text}`,
          block(
            "Damage:",
            problems.map((problem) => wrapped(`- line ${problem.at.line ?? "?"}: ${problem.what}`, 2, 0)),
          ),
          block("Stations", columns(Object.entries(stations).map(([station, is]) => [`  ${station}`, is]))),
          block(
            "Waits",
            columns(state.waits.map((wait) => [`  ${wait.number}`, wait.kind, `${wait.what}${wait.until === undefined ? "" : `, until ${wait.until}`}`])),
          ),
          block(
            "To measure again after the repair",
            again.map((each) => wrapped(`${each.isDone ? "[done]" : "[open]"} ${each.what}`, 9, 2)),
          ),
          block("Files", columns(fileRows(state.files, (_, at) => drivenOn(state.files[at]!.revision)).map(([path, word]) => [`  ${path}`, word!]))),
          block(
            "Revisions",
            columns(state.revisions.map((made) => [`  ${made.number}`, when(made.at), `${made.name}${made.why === undefined ? "" : `: ${made.why}`}`])),
          ),
          open === 0 ? "" : `${open} decisions since then, not in a revision yet.`,
          block(
            "Notes",
            state.notes.map((note) => wrapped(`${when(note.at)} ${note.by}: ${note.text}`, 4, 2)),
          ),
          block(
            "Tests",
            state.observed.map((seen) => wrapped(`${when(seen.at)} ${seen.test}: ${seen.outcome}`, 4, 2)),
          ),
        ),
      };
    },
  );
}

function drivenOn(revision: number | undefined): string {
  if (revision === undefined) return "";
  return revision === 0 ? "made as received" : `made on revision ${revision}`;
}
