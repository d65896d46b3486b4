import type { Command } from "commander";
import { recordJobEvent, STATIONS } from "../../book/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { oneOf } from "../parse.ts";

export function addNote(program: Command): void {
  enteringCommand<{ readonly at?: string }>(
    program,
    {
      usage: "note <job> <text...>",
      about: "Write a note into the job",
      args: { job: "short name of the job", text: "the note" },
      examples: ['fettle note wagon-rough-idle "owner says it began after the intake was cleaned"'],
    },
    ({ book, args: [job, ...text], options }) => {
      const station = options.at === undefined ? {} : { station: oneOf(options.at, STATIONS, "--at") };
      recordJobEvent(book, job!, "note.written", { text: text.join(" "), ...station }, options.why);
      return entered("Noted.");
    },
  ).option("--at <station>", `station that it belongs to: ${STATIONS.join(", ")}`);
}
