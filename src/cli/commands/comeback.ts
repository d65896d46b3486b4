import type { Command } from "commander";
import { type ComebackOfJob, comebackOf, when } from "../../desk/index.ts";
import { bookCommand } from "../book-command.ts";
import { digits, suspectText, worthALine } from "../suspect-text.ts";
import { block, columns, counted, page, wrapped } from "../text.ts";

export function addComeback(program: Command): void {
  bookCommand(
    program,
    {
      usage: "comeback <job> [earlier]",
      about: "A vehicle that came back against how it left: what moved, which suspects that speaks for, whose tables",
      args: { job: "short name of the new job", earlier: "job that kept the signature; left out: the newest on the same vehicle" },
      examples: ["fettle comeback wagon-stalls", "fettle comeback wagon-stalls wagon-rough-idle --json"],
    },
    ({ book, args: [job, earlier] }) => {
      const comeback = comebackOf(book, job!, earlier);
      if (comeback === undefined)
        return { json: null, text: "No earlier job on this vehicle kept how it left. Keep it at every handover: fettle signature JOB\n" };
      return { json: comeback, text: textOf(comeback) };
    },
  );
}

function textOf({ earlier, ours, comparison }: ComebackOfJob): string {
  const { moved, suspects, basis, conditions, couldNot } = comparison;
  const told = moved.filter((each) => Math.abs(each.spreads) >= 1);
  const still = moved.length - told.length;
  return page(
    `Against ${earlier.job}, left ${when(earlier.at)} on ${earlier.revision === 0 ? "its tables as received" : `revision ${earlier.revision}`}.`,
    wrapped(tablesText(ours, comparison.calibration)),
    block("Moved, the furthest first", columns(told.map((each) => [`  ${signed(each.spreads, 1)} spreads`, movedText(each)]))),
    still === 0 ? "" : `${counted(still, "figure")} moved by less than one spread.\n`,
    block(`What that speaks for (by ${basis === "moved since" ? "what moved since" : "these recordings alone"})`, [
      worthALine(suspects).map(suspectText).join("\n\n"),
    ]),
    block(
      "Another day, another tank",
      conditions.map((what) => wrapped(`- ${what}`, 4, 2)),
    ),
    block(
      "Could not",
      couldNot.map((what) => wrapped(`- ${what}`, 4, 2)),
    ),
  );
}

function movedText({ title, by, unit, atHandover, onReturn }: ComebackOfJob["comparison"]["moved"][number]): string {
  if (atHandover === undefined || onReturn === undefined) return `${title}: by ${signed(by, 2)} ${unit}`;
  return `${title}: ${digits(atHandover)} → ${digits(onReturn)} ${unit}`;
}

function signed(value: number, places: number): string {
  return `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(places)}`;
}

function tablesText(ours: ComebackOfJob["ours"], calibration: ComebackOfJob["comparison"]["calibration"]): string {
  const { verdict, changed, missing, cellsChanged, cells } = calibration;
  const unread = missing.length === 0 ? "" : ` Not read this time: ${missing.join(", ")}.`;
  if (ours !== undefined) return `The tables in it are ours still: revision ${ours} of the earlier job, cell for cell.`;
  if (verdict === "not known") return "Whose tables are in it is not known: bring what was read from the controller.";
  if (verdict === "still ours") return `The tables in it are ours still, as far as they were read.${unread}`;
  const list = changed.map((edit) => `${edit.table} (${edit.summary})`).join("; ");
  if (verdict === "as the reference again") return `The reference's tables are back in it: ${list}.${unread}`;
  const of = `${cellsChanged} of ${counted(cells, "cell")}`;
  const head = verdict === "another calibration" ? `Another calibration is in it, by a hand we do not know: ${of} differ` : `Ours but for ${of}`;
  return `${head}: ${list}.${unread}`;
}
