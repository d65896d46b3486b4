import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { readJob, recordJobEvent } from "../../book/index.ts";
import type { Intake } from "../../core/result/index.ts";
import { intakeOf } from "../../desk/index.ts";
import { readIntake } from "../../formats/index.ts";
import { enteringCommand } from "../book-command.ts";
import { columns, page } from "../text.ts";

type Facts = Record<string, unknown>;

export function addIntake(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "intake <job> [facts...]",
      about: "Show the facts about the vehicle, or set some of them",
      args: { job: "short name of the job", facts: "FIELD=VALUE, as the intake sheet names them; an empty value takes a field out" },
      examples: [
        "fettle intake wagon-rough-idle",
        "fettle intake wagon-rough-idle engine.displacementL=3.3 engine.cylinders=6",
        'fettle intake wagon-rough-idle vehicle.axleRatio=3.9 --why "read from the tag on the axle"',
      ],
      notes: "The fields: docs/packet.md. Only engine.displacementL and engine.cylinders must be there.",
    },
    ({ book, args: [job, ...facts], options }) => {
      const before = intakeOf(book, readJob(book, job!).state);
      const intake = facts.length === 0 ? before : withFacts(before, facts);
      if (intake !== undefined && facts.length > 0) recordJobEvent(book, job!, "intake.written", { intake }, options.why);
      if (intake === undefined)
        return { json: null, text: "Nothing is known of the vehicle yet. Give at least engine.displacementL=LITRES engine.cylinders=NUMBER\n" };
      return { json: intake, text: page(columns(rowsOf(intake as unknown as Facts)).join("\n")) };
    },
  );
}

function rowsOf(facts: Facts, prefix = ""): string[][] {
  return Object.entries(facts).flatMap(([name, value]) => {
    if (typeof value === "object" && value !== null && !Array.isArray(value)) return rowsOf(value as Facts, `${prefix}${name}.`);
    return value === undefined ? [] : [[`${prefix}${name}`, Array.isArray(value) ? value.join(", ") : String(value)]];
  });
}

/** The intake with facts set; held to the rules of the intake sheet. */
function withFacts(before: Intake | undefined, facts: readonly string[]): Intake {
  const draft = structuredClone((before ?? {}) as unknown as Facts);
  for (const fact of facts) put(draft, fact);
  return readIntake("intake", new TextEncoder().encode(JSON.stringify(draft)));
}

const FIELD = /^([a-z][A-Za-z0-9]*(?:\.[a-z][A-Za-z0-9]*){0,2})=(.*)$/s;

function put(draft: Facts, fact: string): void {
  const match = FIELD.exec(fact);
  if (match === null)
    throw new UnusableInput({ at: { file: "command line" }, what: `"${fact}" sets no field`, do: "Give field and value, as in engine.cylinders=6" });
  const path = match[1]!.split(".");
  let inside = draft;
  for (const name of path.slice(0, -1)) {
    const next = Object.hasOwn(inside, name) ? inside[name] : undefined;
    const group: Facts = typeof next === "object" && next !== null ? (next as Facts) : {};
    inside[name] = group;
    inside = group;
  }
  const last = path.at(-1)!;
  if (match[2] === "") delete inside[last];
  else inside[last] = parsedValue(match[2]!);
}

/** Numbers, true, false and lists are themselves, anything else is text: "6", "3,9", "true", "[3.06, 1.63]". */
function parsedValue(text: string): unknown {
  if (/^-?\d+([.,]\d+)?$/.test(text)) return Number(text.replace(",", "."));
  if (text === "true" || text === "false") return text === "true";
  if (!text.startsWith("[")) return text;
  try {
    return JSON.parse(text);
  } catch {
    throw new UnusableInput({ at: { file: "command line" }, what: `"${text}" is no list`, do: 'Write lists as in [3.06, 1.63] or ["cam", "headers"]' });
  }
}
