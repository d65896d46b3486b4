import type { Command } from "commander";
import { jobSlugs, readJob } from "../../book/index.ts";
import { nextAction, when } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { columns, page } from "../text.ts";

export function addJobs(program: Command): void {
  bookCommand(
    program,
    { usage: "jobs", about: "List the jobs of the book, last touched first, with what each needs next", examples: ["fettle jobs", "fettle jobs --json"] },
    ({ book }) => {
      const jobs = jobSlugs(book)
        .map((slug) => readJob(book, slug))
        .sort((a, b) => (a.state.lastAt > b.state.lastAt ? -1 : 1));
      const json = jobs.map(({ state, problems }) => ({
        job: state.slug,
        title: state.title,
        vehicle: state.vehicle,
        lastAt: state.lastAt,
        next: nextAction(state),
        waits: state.waits,
        isDamaged: problems.length > 0,
      }));
      const rows = json.map((job) => [job.job, when(job.lastAt), `${job.next.text}${job.isDamaged ? " (journal damaged: fettle book check)" : ""}`]);
      return { json, text: rows.length === 0 ? "No jobs yet. Begin one: fettle begin TITLE\n" : page(columns(rows).join("\n")) };
    },
  );
}
