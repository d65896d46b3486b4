import { z } from "zod";
import type { EditKind, Result, Severity } from "../core/result/index.ts";

const text = z.string().min(1);
const texts = z.array(z.string()).readonly();
const count = z.number().int().min(0);
const share = z.number().min(0).max(1);

const EDIT_KINDS = [
  "unchanged",
  "scaled",
  "offset",
  "zeroed",
  "flattened",
  "clamped",
  "patched",
  "part-scaled",
  "part-offset",
  "smoothed",
  "spiked",
  "reshaped",
  "axes-changed",
  "missing",
  "added",
] as const satisfies readonly EditKind[];

const SEVERITIES = ["stop", "fix", "watch", "note"] as const satisfies readonly Severity[];

const cell = z.tuple([count, count]).readonly();

export const editSchema = z.object({
  table: text.describe("Title of the table as its sheet has it"),
  role: text.optional().describe("What the table is to the controller, where known"),
  kind: z.enum(EDIT_KINDS).describe("What was done, by the shortest description that fits"),
  by: z.number().optional().describe("The factor of scaled and part-scaled, the amount of offset and part-offset, the value of flattened or clamped"),
  cells: count.describe("Cells that the edit touched"),
  region: z.tuple([cell, cell]).readonly().optional().describe("First and last [row, column], counted from zero, both included"),
  summary: text.describe("The edit in one sentence"),
});

export const findingSchema = z.object({
  check: text.describe("Id of the check"),
  severity: z.enum(SEVERITIES).describe("stop: do not go on; fix: wrong; watch: may be right, look; note: worth knowing"),
  tables: texts.describe("Titles of the tables concerned"),
  summary: text,
  because: texts.describe("Evidence, one sentence each"),
  do: text.describe("What a person should do"),
});

export const evidenceSchema = z.object({
  text,
  recording: text.optional(),
  fromS: z.number().optional().describe("Start of the span on the recording's own clock [s]"),
  toS: z.number().optional(),
});

const sizeSchema = z
  .object({ name: text, unit: z.string(), value: z.number(), low: z.number(), high: z.number() })
  .describe("A fitted size of the story with its 90 % interval");

export const suspectSchema = z.object({
  fault: text.describe("Id of the story; healthy is always one of them"),
  probability: share,
  for: z.array(evidenceSchema).readonly(),
  against: z.array(evidenceSchema).readonly(),
  next: z.string().optional().describe("The test that tells it from the runner-up"),
  sizes: z.array(sizeSchema).readonly().optional(),
});

export const correctionSchema = z.object({
  role: text,
  sheet: text.describe("Path of the corrected table sheet within the result's folder"),
  cellsChanged: count,
  cellsCovered: count.describe("Cells that the recordings say something about"),
  meanAbsChangePercent: z.number().min(0),
  confidence: text.describe("Path of the sheet with the deviation of each cell"),
  heldBecause: z.string().optional().describe("Fault that has to be put right first; the sheet then lies in corrections/held/"),
  summary: z.string().optional(),
  limited: texts.optional().describe("What a limit has cut, one sentence each"),
});

const ambientSchema = z.object({
  pressureKpa: z.number().positive(),
  temperatureC: z.number(),
  relativeHumidityPercent: z.number().min(0).max(100),
  source: z.string(),
});

export const pullSchema = z.object({
  file: text,
  standard: text.describe("Standard of the correction factor"),
  factor: z.number().positive(),
  peakPowerKw: z.number().describe("At the roller, times the factor"),
  peakPowerRpm: z.number(),
  peakTorqueNm: z.number().describe("At the roller, times the factor, referred to engine speed"),
  peakTorqueRpm: z.number(),
  smoothing: z.string().optional(),
  ambient: ambientSchema.optional(),
  beyondLimits: z.string().optional().describe("Why the standard does not cover this factor or this ambient"),
  flywheel: z
    .object({
      peakPowerKw: z.number(),
      peakPowerRpm: z.number(),
      peakTorqueNm: z.number(),
      peakTorqueRpm: z.number(),
      basis: z.string().describe("What the loss between flywheel and rollers rests on"),
    })
    .optional()
    .describe("Estimate at the flywheel, corrected like the figures at the roller"),
  remarks: texts.optional(),
});

export const recordingSchema = z.object({
  file: text,
  rows: count,
  durationS: z.number().min(0),
  signals: z.record(z.string(), z.string()).readonly().describe("Column of the file by signal id"),
  unrecognised: texts,
  repairs: texts.describe("What was wrong with the file and how it was read nevertheless"),
  alignment: z
    .object({
      source: z.enum(["estimated", "handbook"]),
      delayS: z.number().min(0).describe("From mixture to reading, at airflowGps; lowS to highS is the 90 % interval"),
      lowS: z.number().min(0),
      highS: z.number().min(0),
      airflowGps: z.number().min(0),
      lagS: z.number().min(0).describe("First-order lag of the sensor"),
      differenceAsLogged: z.number().min(0).describe("How much mixture measured and asked for differ in their quick changes, as a share"),
      differenceMovedBack: z.number().min(0),
    })
    .optional()
    .describe("How the wide-range sensor's reading was moved to the mixture it tells of"),
});

/** Probabilities are printed with a few digits each; their sum may be off by the rounding of so many. */
const SUM_TOLERANCE = 1e-3;

/** The form of `result.json`. Fields that it does not name are allowed: later versions may add some. */
export const resultSchema = z
  .object({
    schema: z.literal("fettle.result/1"),
    edits: z.array(editSchema).readonly(),
    findings: z.array(findingSchema).readonly(),
    suspects: z.array(suspectSchema).readonly(),
    corrections: z.array(correctionSchema).readonly(),
    pulls: z.array(pullSchema).readonly(),
    recordings: z.array(recordingSchema).readonly(),
    couldNot: texts.describe("What was left out, and which input it lacked"),
    remarks: texts.optional().describe("What was taken as read: roles proposed, units assumed, files mended"),
  })
  .describe("Answer of the main job, as written to result.json");

/** `resultSchema` and what a JSON Schema cannot say: suspects sum to 1 and `healthy` is among them. */
export const coherentResultSchema = resultSchema.superRefine(({ suspects }, context) => {
  const sum = suspects.reduce((total, suspect) => total + suspect.probability, 0);
  if (Math.abs(sum - 1) > SUM_TOLERANCE) context.addIssue({ code: "custom", path: ["suspects"], message: `probabilities sum to ${sum}, not to 1` });
  if (!suspects.some((suspect) => suspect.fault === "healthy"))
    context.addIssue({ code: "custom", path: ["suspects"], message: "healthy is not among the suspects" });
}) satisfies z.ZodType<Result>;

/** The result's form as JSON Schema (2020-12), for programs in other languages. */
export function resultJsonSchema(): Record<string, unknown> {
  const { $schema, ...rest } = z.toJSONSchema(resultSchema, {
    target: "draft-2020-12",
    io: "input",
    // "readonly" is a promise of our types; in a schema it would speak of who may write a field.
    override: ({ jsonSchema }) => {
      delete jsonSchema.readOnly;
    },
  });
  return { $schema, title: "fettle.result/1", ...rest };
}
