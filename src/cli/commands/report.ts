import { writeFileSync } from "node:fs";
import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { memoryOf, recordJobEvent, sha256Of, unitSystemOf } from "../../book/index.ts";
import { analyseJob, jobReport } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { oneOf } from "../parse.ts";
import { PAPERS, pdfOf } from "../pdf.ts";

const KINDS = ["job", "owner", "workshop"] as const;
const UNITS = ["metric", "imperial"] as const;

interface ReportOptions {
  readonly out?: string;
  readonly kind: string;
  readonly units?: string;
  readonly pdf?: boolean;
  readonly paper?: string;
}

export function addReport(program: Command): void {
  bookCommand<ReportOptions>(
    program,
    {
      usage: "report <job>",
      about: "Write the report of a job: the whole of it, the owner's pages, or the workshop's sheet",
      args: { job: "short name of the job" },
      examples: ["fettle report wagon-rough-idle --out report.html", "fettle report wagon-rough-idle --kind owner --units imperial --pdf --out handover.pdf"],
      notes: "--pdf needs a Chromium, Chrome or Edge on this machine (or CHROMIUM_PATH).",
    },
    async ({ book, args: [job], options, progress }) => {
      const kind = oneOf(options.kind, KINDS, "--kind");
      const units = options.units === undefined ? {} : { units: oneOf(options.units, UNITS, "--units") };
      const isImperial = (units.units ?? unitSystemOf(memoryOf(book))) === "imperial";
      const paper = options.paper === undefined ? (isImperial ? "letter" : "a4") : oneOf(options.paper, PAPERS, "--paper");
      const path = options.out ?? `${job}-${kind}.${options.pdf === true ? "pdf" : "html"}`;
      const { loaded, outcome } = analyseJob(book, job!, { onProgress: (text, share) => progress.step(text, 0.9 * share) });
      const html = jobReport(book, job!, loaded, outcome, { kind, ...units });
      const content = options.pdf === true ? await pdfOf(html, paper) : new TextEncoder().encode(html);
      try {
        writeFileSync(path, content);
      } catch (error) {
        throw new UnusableInput({
          at: { file: path },
          what: `The report could not be written (${(error as NodeJS.ErrnoException).code})`,
          do: "Give another place with --out",
        });
      }
      recordJobEvent(book, job!, "report.made", { name: path, sha256: sha256Of(content) });
      return { json: { path, kind, bytes: content.length }, text: `${path}\n` };
    },
  )
    .option("--out <file>", "where it goes (default: named after the job, in this folder)")
    .option("--kind <kind>", `which: ${KINDS.join(", ")}`, "job")
    .option("--units <system>", "metric or imperial (default: as the book prefers)")
    .option("--pdf", "as PDF")
    .option("--paper <size>", `of the PDF: ${PAPERS.join(", ")} (default: A4 with metric units, Letter with imperial ones)`);
}
