import type { Command } from "commander";
import { type JobEvent, readJob, standing } from "../../book/index.ts";
import { tellEvent, when } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { columns } from "../text.ts";

export function addHistory(program: Command): void {
  bookCommand(
    program,
    {
      usage: "history <job>",
      about: "Everything that happened to a job, oldest first: when, who, what and why",
      args: { job: "short name of the job" },
      examples: ["fettle history wagon-rough-idle", "fettle history wagon-rough-idle --json"],
    },
    ({ book, args: [job] }) => {
      const events = readJob(book, job!).events as readonly JobEvent[];
      const stands = new Set(standing(events).map((event) => event.number));
      const rows = events.map((event) => {
        const isGone = event.kind !== "undone" && !stands.has(event.number);
        const why = event.why === undefined ? "" : `. ${event.why}`;
        return [String(event.number).padStart(3), when(event.at), event.by, `${tellEvent(event)}${why}${isGone ? " (undone)" : ""}`];
      });
      return { json: events, text: `${columns(rows).join("\n")}\n` };
    },
  );
}
