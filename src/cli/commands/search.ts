import type { Command } from "commander";
import { searchBook } from "../../book/index.ts";
import { keptAnalysisOf, when } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { page, wrapped } from "../text.ts";

export function addSearch(program: Command): void {
  bookCommand(
    program,
    {
      usage: "search <words...>",
      about: "Search all jobs: titles, vehicles, notes, parts, tests, reasons, files, findings and suspects",
      args: { words: "all of them must occur" },
      examples: ["fettle search throttle body", "fettle search spark.patch --json"],
      notes: "Findings and suspects of jobs that were never analysed are not found; nothing is analysed for a search.",
    },
    ({ book, args }) => {
      const hits = searchBook(book, args.join(" "), (slug) => keptAnalysisOf(book, slug)?.result);
      const jobs = [...new Set(hits.map((hit) => hit.job))];
      return {
        json: hits,
        text:
          hits.length === 0
            ? "Nothing found.\n"
            : page(
                ...jobs.map((job) =>
                  [
                    job,
                    ...hits
                      .filter((hit) => hit.job === job)
                      .map((hit) => wrapped(`${hit.place}: ${hit.text}${hit.at === undefined ? "" : ` (${when(hit.at)})`}`, 4, 2)),
                  ].join("\n"),
                ),
              ),
      };
    },
  );
}
