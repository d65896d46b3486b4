import type { Command } from "commander";
import type { Book } from "../book/index.ts";
import { openedBook } from "./book-folder.ts";
import { orFail } from "./fail.ts";
import { type Progress, terminalProgress } from "./progress.ts";

/** What a command answers: for a program, and for a person. `isBad` ends it with status 1 after the answer was printed. */
export interface Answer {
  readonly json: unknown;
  readonly text: string;
  readonly isBad?: boolean;
}

/** Options that every command on a book knows. */
export interface CommonOptions {
  readonly book?: string;
  readonly by?: string;
  readonly json?: boolean;
}

export interface CommandText {
  /** Name and arguments, as in "wait <job> <what...>". */
  readonly usage: string;
  /** One sentence. */
  readonly about: string;
  /** Words on each argument, by its name. */
  readonly args?: Readonly<Record<string, string>>;
  readonly examples: readonly string[];
  /** A paragraph or two under the examples. */
  readonly notes?: string;
}

export interface At<Options> {
  readonly book: Book;
  readonly args: readonly string[];
  readonly options: Options & CommonOptions;
  readonly progress: Progress;
}

/** A command with its help; what it does is given by `answering`. */
export function describe(parent: Command, { usage, about, args = {}, examples, notes }: CommandText): Command {
  const [name, ...wanted] = usage.split(" ");
  const command = parent.command(name!).description(about);
  for (const argument of wanted) command.argument(argument, args[argument.replace(/[<>[\].]/g, "")] ?? "");
  command.addHelpText("after", `\nExamples:\n${examples.map((example) => `  ${example}`).join("\n")}${notes === undefined ? "" : `\n\n${notes}`}`);
  return command;
}

/** Adds what all commands share: --json and how they end. */
export function answering<Options>(
  command: Command,
  work: (args: readonly string[], options: Options & CommonOptions, progress: Progress) => Answer | Promise<Answer>,
): Command {
  return command.option("--json", "print the answer as JSON").action((...given: unknown[]) =>
    orFail(async () => {
      const options = given.at(-2) as Options & CommonOptions;
      const args = (given.slice(0, -2) as (string | string[] | undefined)[]).flatMap((arg) => arg ?? []);
      const progress = terminalProgress(process.stderr);
      try {
        const answer = await work(args, options, progress);
        progress.done();
        process.stdout.write(options.json === true ? `${JSON.stringify(answer.json, null, 2)}\n` : answer.text);
        if (answer.isBad === true) process.exitCode = 1;
      } finally {
        progress.done();
      }
    }),
  );
}

/** A command on a shop book. */
export function bookCommand<Options = object>(parent: Command, text: CommandText, work: (at: At<Options>) => Answer | Promise<Answer>): Command {
  const command = describe(parent, text)
    .option("--book <folder>", 'the shop book (default: $FETTLE_BOOK, else "Fettle book" in your home folder)')
    .option("--by <name>", "who does it, for the journal (default: $FETTLE_BY, else your user name)");
  return answering<Options>(command, (args, options, progress) => work({ book: openedBook(options), args, options, progress }));
}

/** As `bookCommand`, for commands that enter something: with a reason that the journal keeps. */
export function enteringCommand<Options = object>(
  parent: Command,
  text: CommandText,
  work: (at: At<Options & { readonly why?: string }>) => Answer | Promise<Answer>,
): Command {
  return bookCommand<Options & { readonly why?: string }>(parent, text, work).option("--why <reason>", "why, in your words; the journal keeps it");
}

/** The answer of a command that entered something. */
export function entered(text: string, json: unknown = { done: true }): Answer {
  return { json, text: `${text}\n` };
}
