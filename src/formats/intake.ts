import { z } from "zod";
import type { Intake } from "../core/result/index.ts";
import { decode, openText, unusable } from "./text.ts";

const positive = z.number().positive();
const text = z.string();

/** A fact that was not filled in may be null as well as absent. */
function optional<T extends z.ZodType>(type: T) {
  return type
    .nullish()
    .transform((value) => value ?? undefined)
    .optional();
}

/** The intake sheet. Unknown fields pass; wrong types do not. */
export const intakeSchema = z.looseObject({
  vehicle: optional(
    z.looseObject({
      label: optional(text),
      year: optional(z.number()),
      massKg: optional(positive),
      axleRatio: optional(positive),
      tireRevsPerKm: optional(positive),
      gearRatios: optional(z.array(positive)),
      transmission: optional(text),
      converterStallRpm: optional(z.number()),
    }),
  ),
  engine: z.looseObject({
    displacementL: positive.max(30),
    cylinders: z.number().int().min(1).max(24),
    compressionRatio: optional(z.number().min(1)),
    boosted: optional(z.boolean()),
    camDurationDeg: optional(positive),
    camLiftMm: optional(positive),
    camLobeSeparationDeg: optional(positive),
    camChanged: optional(z.boolean()),
    intake: optional(text),
    exhaust: optional(text),
  }),
  fuel: optional(
    z.looseObject({
      ethanolPercentVolume: optional(z.number().min(0).max(100)),
      railPressureKpa: optional(positive),
      railReference: optional(z.enum(["atmosphere", "manifold"])),
    }),
  ),
  injectors: optional(z.looseObject({ label: optional(text), ratedFlowGps: optional(positive), ratedPressureKpa: optional(positive) })),
  complaint: optional(text),
  changes: optional(z.array(text)),
  ambient: optional(
    z.looseObject({
      pressureKpa: optional(z.number().min(40).max(120)),
      temperatureC: optional(z.number().min(-60).max(70)),
      relativeHumidityPercent: optional(z.number().min(0).max(100)),
    }),
  ),
  dynamometer: optional(
    z.looseObject({
      standard: optional(text),
      coastDown: optional(text),
      coastDownMassKg: optional(positive),
      lossPercent: optional(z.number().min(0).max(50)),
    }),
  ),
  sensors: optional(
    z.looseObject({
      widebandFitted: optional(z.boolean()),
      airMeterFitted: optional(z.boolean()),
      widebandBank: optional(z.union([z.literal(1), z.literal(2)])),
    }),
  ),
  observations: optional(z.record(z.string(), z.unknown())),
  troubleCodes: optional(z.array(text)),
});

/** Reads intake.json. @throws UnusableInput naming the line or the field, what was expected and what to do. */
export function readIntake(file: string, bytes: Uint8Array): Intake {
  const content = decode(openText(file, bytes));
  const data = parseJson(file, content);
  if (typeof data !== "object" || data === null || Array.isArray(data))
    throw unusable(file, "expected an object in braces", "Write the facts as the intake page shows them");
  const checked = intakeSchema.safeParse(data);
  if (checked.success) return checked.data as Intake;
  const issue = checked.error.issues[0]!;
  const path = issue.path.map(String).join(".");
  throw unusable(file, `${path}: ${whatIsWrong(issue, valueAt(data, issue.path))}`, whatToDo(path), placeOf(content, issue.path));
}

function parseJson(file: string, content: string): unknown {
  try {
    return JSON.parse(content);
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    throw unusable(
      file,
      `this is not valid JSON: ${message.replace(/\s*\(line.*$/, "").replace(/\s+/g, " ")}`,
      "Correct the text there: a comma, quote or brace is missing or one too many",
      jsonPlace(content, message),
    );
  }
}

function jsonPlace(content: string, message: string): { line?: number; column?: number } {
  const position = /position (\d+)/.exec(message);
  // Without a position the text broke off at its end, or the engine quotes what it tripped over.
  const at = position === null ? (/end of/i.test(message) ? content.length : undefined) : Number(position[1]);
  if (at === undefined) return {};
  const before = content.slice(0, at);
  return { line: before.split("\n").length, column: at - before.lastIndexOf("\n") };
}

function valueAt(data: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>((value, key) => (typeof value === "object" && value !== null ? (value as Record<PropertyKey, unknown>)[key] : undefined), data);
}

function show(value: unknown): string {
  if (value === undefined) return "nothing";
  const json = JSON.stringify(value);
  return json.length > 40 ? `${json.slice(0, 37)}...` : json;
}

function whatIsWrong(issue: z.core.$ZodIssue, value: unknown): string {
  const found = `found ${show(value)}`;
  switch (issue.code) {
    case "invalid_type":
      return `expected ${issue.expected === "int" ? "a whole number" : named(issue.expected)}, ${found}`;
    case "invalid_value":
      return `expected ${issue.values.map((each) => show(each)).join(" or ")}, ${found}`;
    case "too_small":
      return `expected a number ${issue.inclusive === true ? "of at least" : "above"} ${issue.minimum}, ${found}`;
    case "too_big":
      return `expected a number of at most ${issue.maximum}, ${found}`;
    default:
      return `${issue.message.toLowerCase()}, ${found}`;
  }
}

function named(type: string): string {
  return (
    { number: "a number", string: "a text in quotes", boolean: "true or false", array: "a list in square brackets", object: "an object in braces" }[type] ??
    type
  );
}

function whatToDo(path: string): string {
  if (path.startsWith("engine.displacementL")) return "Give the displacement in litres, e.g. 3.4";
  if (path.startsWith("engine.cylinders")) return "Give the number of cylinders, e.g. 6";
  if (path === "engine") return 'Add "engine" with displacementL and cylinders';
  return "Correct the value, or take the field out";
}

/** Line of the innermost key of the path that stands in the text. */
function placeOf(content: string, path: readonly PropertyKey[]): { line?: number } {
  let at = 0;
  let isFound = false;
  for (const key of path) {
    if (typeof key !== "string") continue;
    const next = content.indexOf(`"${key}"`, at);
    if (next < 0) break;
    at = next;
    isFound = true;
  }
  return isFound ? { line: content.slice(0, at).split("\n").length } : {};
}
