import type { Command } from "commander";
import { readJob } from "../../book/index.ts";
import { answerTo, type Finding } from "../../core/result/index.ts";
import { analysisOf } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { block, counted, page, wrapped } from "../text.ts";

export function addInspect(program: Command): void {
  bookCommand(
    program,
    {
      usage: "inspect <job>",
      about: "What was changed from factory, and what contradicts itself",
      args: { job: "short name of the job" },
      examples: ["fettle inspect wagon-rough-idle", "fettle inspect wagon-rough-idle --json"],
    },
    ({ book, args: [job], progress }) => {
      const { result } = analysisOf(book, job!, { onProgress: progress.step });
      const { answers } = readJob(book, job!).state;
      const changed = result.edits.filter((edit) => edit.kind !== "unchanged");
      return {
        json: { edits: result.edits, findings: result.findings, answers },
        text: page(
          `${changed.length} of ${counted(result.edits.length, "table")} changed against the factory's.`,
          changed.map((edit) => wrapped(`${edit.role ?? edit.table}: ${edit.summary}`, 4, 2)).join("\n"),
          block(
            "Findings",
            result.findings.map((finding) => findingText(finding, answerTo(answers, finding)?.answer)),
          ),
        ),
      };
    },
  );
}

function findingText(finding: Finding, answer: string | undefined): string {
  const head = `${finding.severity.toUpperCase().padEnd(5)} ${finding.summary} (${finding.check}${answer === undefined ? "" : `; ${answer}`})`;
  return [wrapped(head, 8, 2), ...finding.because.map((because) => wrapped(`- ${because}`, 10, 8)), wrapped(`Do: ${finding.do}`, 12, 8)].join("\n");
}
