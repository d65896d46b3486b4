import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { memoryOf, readJob, recordJobEvent } from "../../book/index.ts";
import { BEFORE_A_PULL, BEFORE_A_PULL_ITEMS } from "../../core/pulls/index.ts";
import { enteringCommand } from "../book-command.ts";
import { wholeOf } from "../parse.ts";
import { columns, page } from "../text.ts";

interface TickOptions {
  readonly off?: boolean;
}

export function addTick(program: Command): void {
  enteringCommand<TickOptions>(
    program,
    {
      usage: "tick <job> <list> [numbers...]",
      about: "Show a checklist of the book for a job, or tick off items of it",
      args: { job: "short name of the job", list: "name of the list (fettle remember list)", numbers: "items by their number, counted from 1" },
      examples: ['fettle tick wagon-rough-idle "Before a pull"', 'fettle tick wagon-rough-idle "Before a pull" 1 2 3'],
      notes: "The facility's own rules come first; a list that is ticked off is a record, not a permit.",
    },
    ({ book, args: [job, list, ...numbers], options }) => {
      const items = itemsOf(memoryOf(book).checklists, list!);
      for (const number of numbers) {
        const item = items[wholeOf(number, "number") - 1];
        if (item === undefined)
          throw new UnusableInput({ at: { file: list! }, what: `The list has no item ${number}`, do: `Take a number from 1 to ${items.length}` });
        recordJobEvent(book, job!, "checklist.ticked", { list: list!, item, ticked: options.off !== true }, options.why);
      }
      const { ticks } = readJob(book, job!).state;
      const rows = items.map((item, i) => ({ number: i + 1, item, ticked: ticks[list!]?.[item] === true }));
      return { json: rows, text: page(columns(rows.map((row) => [String(row.number), row.ticked ? "[done]" : "[ ]", row.item])).join("\n")) };
    },
  ).option("--off", "take the ticks away again");
}

function itemsOf(lists: Readonly<Record<string, string>>, name: string): readonly string[] {
  if (!Object.hasOwn(lists, name) && name.toLowerCase() === BEFORE_A_PULL) return BEFORE_A_PULL_ITEMS;
  if (!Object.hasOwn(lists, name)) {
    const known = Object.keys(lists);
    throw new UnusableInput({
      at: { file: name },
      what: "The book has no such list",
      do: known.length === 0 ? 'Write one: fettle remember checklist "Before a pull" --from FILE' : `Take one of ${known.join(", ")}`,
    });
  }
  return lists[name]!.split("\n")
    .map((line) => line.replace(/^[-*]\s*/, "").trim())
    .filter((line) => line !== "");
}
