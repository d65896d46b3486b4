import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { type Book, memoryOf, readJob, recordBookEvent, recordJobEvent } from "../../book/index.ts";
import { CHECKS } from "../../core/checks/index.ts";
import { SIGNALS, type SignalId } from "../../core/units/index.ts";
import { engineOf } from "../../desk/index.ts";
import { bookCommand, entered, enteringCommand } from "../book-command.ts";
import { numberOf, oneOf, positiveOf } from "../parse.ts";
import { block, columns, page } from "../text.ts";
import { addRememberChecklist } from "./remember-checklist.ts";

/** What the book remembers over all jobs and laptops. */
export function addRemember(program: Command): void {
  const parent = program.command("remember").description("What the book remembers over all jobs: shop, units, injectors, references, checks, columns, lists");
  addList(parent);
  addShop(parent);
  addUnits(parent);
  addInjector(parent);
  addReference(parent);
  addCheck(parent);
  addColumn(parent);
  addRememberChecklist(parent);
}

function addList(parent: Command): void {
  bookCommand(
    parent,
    { usage: "list", about: "List everything that is remembered", examples: ["fettle remember list", "fettle remember list --json"] },
    ({ book }) => {
      const memory = memoryOf(book);
      const rows = (record: Readonly<Record<string, string>>): string[] => columns(Object.entries(record).map(([name, value]) => [`  ${name}`, value]));
      return {
        json: memory,
        text: page(
          `Shop: ${memory.shop === "" ? "not named yet" : memory.shop}`,
          block("Units", rows(memory.units)),
          block("Columns", rows(memory.columns)),
          block("Checks", rows(memory.checks)),
          block("Injectors", columns(memory.injectors.map((sheet) => [`  ${sheet.label}`, `${sheet.ratedFlowGps} g/s at ${sheet.ratedPressureKpa} kPa`]))),
          block("References", columns(memory.references.map((kept) => [`  ${kept.name}`, `${kept.job}, ${kept.folder}`]))),
          block("Lists", rows(Object.fromEntries(Object.entries(memory.checklists).map(([name, text]) => [name, text.trim().split(/\n+/).join("; ")])))),
        ),
      };
    },
  );
}

function addShop(parent: Command): void {
  enteringCommand(
    parent,
    {
      usage: "shop <name...>",
      about: "The shop's name, as reports print it",
      args: { name: "the name" },
      examples: ["fettle remember shop Harbour Street Calibration"],
    },
    ({ book, args, options }) => {
      recordBookEvent(book, "shop.named", { name: args.join(" ") }, options.why);
      return entered(`Reports are written by ${args.join(" ")}.`);
    },
  );
}

const SYSTEMS = ["metric", "imperial"] as const;

function addUnits(parent: Command): void {
  enteringCommand(
    parent,
    {
      usage: "units <system>",
      about: "Units of reports: metric or imperial",
      args: { system: SYSTEMS.join(" or ") },
      examples: ["fettle remember units imperial"],
    },
    ({ book, args: [system], options }) => {
      recordBookEvent(book, "units.preferred", { quantity: "system", unit: oneOf(system!, SYSTEMS, "system") }, options.why);
      return entered(`Units: ${system}.`);
    },
  );
}

interface InjectorOptions {
  readonly flow?: string;
  readonly pressure?: string;
  readonly deadTime?: readonly string[];
  readonly drop?: boolean;
}

function addInjector(parent: Command): void {
  enteringCommand<InjectorOptions>(
    parent,
    {
      usage: "injector <label...>",
      about: "Keep an injector's data sheet, or drop one",
      args: { label: "what is printed on it" },
      examples: [
        "fettle remember injector green top 440 --flow 5.3 --pressure 300 --dead-time 10=1.9 12=1.4 14=1.05",
        "fettle remember injector green top 440 --drop",
      ],
    },
    ({ book, args, options }) => {
      const label = args.join(" ");
      if (options.drop === true) {
        recordBookEvent(book, "injector.dropped", { label }, options.why);
        return entered(`Dropped ${label}.`);
      }
      if (options.flow === undefined || options.pressure === undefined)
        throw new UnusableInput({
          at: { file: label },
          what: "A data sheet needs the rated flow and the pressure it is rated at",
          do: "Give --flow and --pressure",
        });
      const deadTimeMs = options.deadTime?.map((pair) => {
        const [volts, ms] = pair.split("=");
        return [positiveOf(volts ?? "", "voltage"), numberOf(ms ?? "", "dead time")] as const;
      });
      const sheet = { label, ratedFlowGps: positiveOf(options.flow, "--flow"), ratedPressureKpa: positiveOf(options.pressure, "--pressure") };
      recordBookEvent(book, "injector.kept", { ...sheet, ...(deadTimeMs === undefined ? {} : { deadTimeMs }) }, options.why);
      return entered(`Kept ${label}.`);
    },
  )
    .option("--flow <g/s>", "rated flow of fuel")
    .option("--pressure <kPa>", "pressure across the injector that the flow is rated at")
    .option("--dead-time <V=ms...>", "dead time by battery voltage")
    .option("--drop", "forget this injector");
}

const FOLDERS = ["reference", "as-received"] as const;

interface ReferenceOptions {
  readonly from: string;
  readonly drop?: boolean;
}

function addReference(parent: Command): void {
  enteringCommand<ReferenceOptions>(
    parent,
    {
      usage: "reference <job> <name...>",
      about: "Keep a job's calibration under a name, as a reference for later vehicles; or drop one",
      args: { job: "job that brought it", name: "what it is called" },
      examples: ['fettle remember reference wagon-rough-idle "3.0 six, factory, software of 2004"'],
      notes: "Calibrations of earlier jobs are offered without this as well (fettle references JOB); a kept one goes first.",
    },
    ({ book, args: [job, ...words], options }) => {
      const name = words.join(" ");
      if (options.drop === true) {
        recordBookEvent(book, "reference.dropped", { name }, options.why);
        return entered(`Dropped ${name}.`);
      }
      const folder = oneOf(options.from, FOLDERS, "--from");
      const engine = engineOf(book, readJob(book, job!).state);
      if (engine === undefined)
        throw new UnusableInput({ at: { file: job! }, what: "The job does not say which engine it is", do: "Write its intake sheet first" });
      recordBookEvent(book, "reference.kept", { name, job: job!, folder, engine }, options.why);
      return entered(`Kept ${name}.`);
    },
  )
    .option("--from <folder>", `which of the job's calibrations: ${FOLDERS.join(", ")}`, "reference")
    .option("--drop", "forget this reference");
}

const SETTINGS = ["on", "off", "note"] as const;

function addCheck(parent: Command): void {
  enteringCommand(
    parent,
    {
      usage: "check <id> <setting>",
      about: "How a check is taken in this book: on, off, or only noted. What would be a stop is never left out",
      args: { id: "id of the check", setting: SETTINGS.join(", ") },
      examples: ['fettle remember check fuel.long-trim-off note --why "we switch it off while fitting"'],
    },
    ({ book, args: [id, setting], options }) => {
      const check = oneOf(
        id!,
        CHECKS.map((each) => each.id),
        "check",
      );
      recordBookEvent(book, "check.set", { check, setting: oneOf(setting!, SETTINGS, "setting") }, options.why);
      return entered(`${id}: ${setting}.`);
    },
  );
}

interface ColumnOptions {
  readonly drop?: boolean;
  readonly job?: string;
  readonly file?: string;
}

function addColumn(parent: Command): void {
  enteringCommand<ColumnOptions>(
    parent,
    {
      usage: "column <name> [signal]",
      about: "What a column of recordings is, by the name its logger gives it, for all jobs or for one file; or forget it",
      args: { name: "name of the column as the file has it", signal: 'id of a signal (docs/formats/signals.md), or "none"' },
      examples: [
        'fettle remember column "AFR stbd" lambda',
        'fettle remember column "Spare 1" none --job wagon-rough-idle --file recordings/drive.csv',
        'fettle remember column "AFR stbd" --drop',
      ],
    },
    ({ book, args: [column, named], options }) => {
      if (options.drop === true) return entered(forgetColumn(book, column!, options));
      if (named === undefined) throw wrongColumn(column!, "A column needs the signal that it is", "Give its id, or --drop to forget the column");
      const signal = oneOf(named, [...(Object.keys(SIGNALS) as SignalId[]), "none" as const], "signal");
      if ((options.job === undefined) !== (options.file === undefined))
        throw wrongColumn(column!, "A column of one file needs both the job and the file", "Give --job and --file, or neither");
      if (options.job !== undefined) recordJobEvent(book, options.job, "column.named", { file: options.file!, column: column!, signal }, options.why);
      else recordBookEvent(book, "column.learned", { column: column!, signal }, options.why);
      return entered(`"${column}" is ${signal === "none" ? "no signal" : signal}.`);
    },
  )
    .option("--job <job>", "only in this job")
    .option("--file <path>", "and only in this file of it")
    .option("--drop", "forget what it is for all jobs; from then on it is guessed again");
}

/** Forgets what a column is for all jobs. @throws UnusableInput when nothing of it is remembered, or one file is meant */
function forgetColumn(book: Book, column: string, { job, file, why }: ColumnOptions & { readonly why?: string }): string {
  if (job !== undefined || file !== undefined)
    throw wrongColumn(column, "--drop forgets what holds for all jobs; what was said of one file is an entry of its job", "Undo that entry, or say it anew");
  const known = Object.keys(memoryOf(book).columns);
  if (!known.includes(column))
    throw wrongColumn(
      column,
      "No such column is remembered",
      known.length === 0 ? "The book remembers none" : `Take one of ${known.map((name) => `"${name}"`).join(", ")}`,
    );
  recordBookEvent(book, "column.forgotten", { column }, why);
  return `"${column}" is guessed again.`;
}

function wrongColumn(column: string, what: string, action: string): UnusableInput {
  return new UnusableInput({ at: { file: column }, what, do: action });
}
