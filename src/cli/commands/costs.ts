import type { Command } from "commander";
import { costLines, costsCsv, jobSlugs, readJob } from "../../book/index.ts";
import { bookCommand } from "../book-command.ts";

export function addCosts(program: Command): void {
  bookCommand(
    program,
    {
      usage: "costs [job]",
      about: "Time and parts as CSV, so that the invoice can be written elsewhere",
      args: { job: "short name of the job; left out: all jobs" },
      examples: ["fettle costs wagon-rough-idle > wagon.csv", "fettle costs --json"],
    },
    ({ book, args: [job] }) => {
      const states = (job === undefined ? jobSlugs(book) : [job]).map((slug) => readJob(book, slug).state);
      return { json: states.flatMap((state) => costLines(state).map((line) => ({ job: state.slug, ...line }))), text: costsCsv(states) };
    },
  );
}
