import { UnusableInput } from "../base/index.ts";
import { describeSignal, type SignalId } from "../core/units/index.ts";
import { type RecordingContext, readIntake, readRecording, readTableSheet } from "../formats/index.ts";

/** What a dropped file is, as far as its bytes tell. */
export interface LookedAt {
  readonly kind: "intake" | "table" | "recording" | "sweep" | "other";
  /** Where the bench would put it; the person may say otherwise. */
  readonly path: string;
  readonly says: string;
  readonly doubts: readonly string[];
  /** Columns of a recording that a person should look at: taken with doubt, or not recognised (then no signal). */
  readonly columns: readonly DoubtfulColumn[];
}

export interface DoubtfulColumn {
  readonly column: string;
  readonly unit: string;
  readonly signal?: SignalId;
  /** 0 to 1; absent where nothing was taken. */
  readonly confidence?: number;
}

/** Below this a recognised column is asked about. */
const SURE = 0.7;

/**
 * Tells a file's kind by looking at its content; the name only serves where the content leaves a choice.
 * @param learned  columns that a person named before
 */
export function lookAt(name: string, bytes: Uint8Array, learned: RecordingContext["columns"] = {}): LookedAt {
  const file = name.replaceAll("\\", "/").split("/").at(-1)!;
  const tried = [asIntake, asTable, (...given: Parameters<typeof asTable>) => asRecording(...given, learned)];
  const reasons: string[] = [];
  for (const attempt of tried) {
    try {
      const found = attempt(name, file, bytes);
      if (found !== undefined) return found;
    } catch (error) {
      if (!(error instanceof UnusableInput)) throw error;
      reasons.push(error.message);
    }
  }
  return {
    kind: "other",
    path: `attachments/${file}`,
    says: "Not a table sheet, a recording or an intake sheet; kept as an attachment",
    doubts: reasons.slice(-1),
    columns: [],
  };
}

function startsLike(bytes: Uint8Array): string {
  return new TextDecoder().decode(bytes.subarray(0, 400)).trimStart();
}

function asIntake(_: string, file: string, bytes: Uint8Array): LookedAt | undefined {
  if (!startsLike(bytes).startsWith("{")) return undefined;
  const intake = readIntake(file, bytes);
  return {
    kind: "intake",
    path: "intake.json",
    says: `Intake sheet: ${intake.vehicle?.label ?? "vehicle not named"}, ${intake.engine.displacementL} L`,
    doubts: [],
    columns: [],
  };
}

function asTable(name: string, file: string, bytes: Uint8Array): LookedAt | undefined {
  if (!/^\uFEFF?"?(table|role|unit)"?[,;\t]/i.test(startsLike(bytes))) return undefined;
  const sheet = readTableSheet(file, bytes);
  const folder = /reference|factory|stock|original/i.test(name) ? "reference" : "as-received";
  const size = sheet.table.y === undefined ? `${sheet.table.cells.length} cells` : `${sheet.table.y.values.length} × ${sheet.table.x!.values.length} cells`;
  return {
    kind: "table",
    path: `calibration/${folder}/${file}`,
    says: `Table sheet "${sheet.table.title}", ${size}, ${sheet.table.unit}`,
    doubts: sheet.remarks,
    columns: [],
  };
}

function asRecording(name: string, file: string, bytes: Uint8Array, columns: RecordingContext["columns"]): LookedAt | undefined {
  const { recording } = readRecording(file, bytes, { isSweep: /pull|sweep|dyn/i.test(name), columns });
  const ids = Object.keys(recording.channels) as (keyof typeof recording.channels)[];
  const isSweep = recording.channels.rollerForceN !== undefined || recording.channels.rollerKmh !== undefined;
  const minutes = ((recording.timeS.at(-1) ?? 0) - (recording.timeS[0] ?? 0)) / 60;
  const unsure = Object.values(recording.channels).filter((channel) => channel.confidence < SURE);
  const doubts = [
    ...unsure.map(
      (channel) => `"${channel.source}" taken as ${describeSignal(channel.signal).name.toLowerCase()} (${Math.round(100 * channel.confidence)} % sure)`,
    ),
    ...recording.repairs,
  ];
  return {
    kind: isSweep ? "sweep" : "recording",
    path: `${isSweep ? "pulls" : "recordings"}/${file}`,
    says: `${isSweep ? "Sweep" : "Recording"}, ${minutes.toFixed(1)} min, ${ids.length} signals recognised, ${recording.others.length} not`,
    doubts,
    columns: [
      ...unsure.map(({ source, signal, confidence }) => ({ column: source, unit: describeSignal(signal).unit, signal, confidence })),
      ...recording.others.map(({ source, unit }) => ({ column: source, unit })),
    ],
  };
}
