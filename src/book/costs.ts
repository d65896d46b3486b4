import type { JobState } from "./job-state.ts";

/** Time and parts of a job, one line each, so that the invoice can be written elsewhere. */
export interface CostLine {
  readonly at: string;
  readonly by: string;
  readonly kind: "time" | "part";
  readonly what: string;
  /** Minutes of work, or pieces. */
  readonly quantity: number;
  readonly unit: "min" | "pc";
  /** Price of one piece as entered; absent for time: what an hour costs is the invoice's business. */
  readonly price?: number;
  readonly quality?: string;
}

/** In the order in which they were entered. */
export function costLines(state: JobState): readonly CostLine[] {
  const time = state.time.map((entry): CostLine => ({ at: entry.at, by: entry.by, kind: "time", what: entry.what, quantity: entry.minutes, unit: "min" }));
  const parts = state.parts.map(
    (entry): CostLine => ({
      at: entry.at,
      by: entry.by,
      kind: "part",
      what: entry.part,
      quantity: entry.quantity,
      unit: "pc",
      ...(entry.price === undefined ? {} : { price: entry.price }),
      ...(entry.quality === undefined ? {} : { quality: entry.quality }),
    }),
  );
  return [...time, ...parts];
}

const HEAD = ["job", "title", "vehicle", "date", "by", "kind", "what", "quantity", "unit", "price each", "price", "quality"];

/** The lines as CSV (RFC 4180, UTF-8, dot as decimal mark), job beside each so that several jobs can be put together. */
export function costsCsv(states: readonly JobState[]): string {
  const rows = states.flatMap((state) =>
    costLines(state).map((line) => [
      state.slug,
      state.title,
      state.vehicle,
      line.at.slice(0, 10),
      line.by,
      line.kind,
      line.what,
      String(line.quantity),
      line.unit,
      line.price === undefined ? "" : String(line.price),
      line.price === undefined ? "" : String(Number((line.price * line.quantity).toFixed(2))),
      line.quality ?? "",
    ]),
  );
  return [HEAD, ...rows].map((row) => `${row.map(field).join(",")}\r\n`).join("");
}

/** A field that a table program would take for a formula is made plain text: names of parts come from anywhere. */
function field(text: string): string {
  const plain = /^[=+\-@\t\r]/.test(text) && !/^-?\d+(\.\d+)?$/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
}
