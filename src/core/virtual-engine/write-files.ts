import type { Recording } from "../recordings/index.ts";
import { type Calibration, columnsOf, rowsOf, type Table } from "../tables/index.ts";
import type { SignalId } from "../units/index.ts";
import { type Dialect, writtenName, writtenUnit } from "./dialect.ts";
import type { MadePacket } from "./make-packet.ts";
import { titleIn } from "./titles.ts";

/** A file as text, path within the packet. */
export interface TextFile {
  readonly path: string;
  readonly text: string;
}

export interface WriteStyle {
  readonly dialect: Dialect;
  /** Whether sheets name the role of each table. */
  readonly roles: "all" | "some" | "none";
  /** Which set of titles; 0 or left out: the roles' own names. */
  readonly titles?: number;
}

/** All files of a packet, truth.json among them. */
export function packetFiles(made: MadePacket, style: WriteStyle): TextFile[] {
  const { packet } = made;
  const files: TextFile[] = [{ path: "intake.json", text: `${JSON.stringify(packet.intake, null, 2)}\n` }];
  if (packet.asReceived !== undefined) files.push(...sheetFiles(packet.asReceived, "calibration/as-received", style));
  if (packet.reference !== undefined) files.push(...sheetFiles(packet.reference, "calibration/reference", style));
  for (const recording of [...packet.recordings, ...packet.pulls]) files.push({ path: recording.file, text: recordingText(recording, style.dialect) });
  files.push({ path: "truth.json", text: `${JSON.stringify(truthJson(made, style), null, 1)}\n` });
  return files;
}

function sheetFiles(calibration: Calibration, folder: string, style: WriteStyle): TextFile[] {
  return calibration.tables.map((plain, i) => {
    const table = { ...plain, title: titleIn(plain.role, plain.title, style.titles ?? 0) };
    const named = style.roles === "all" || (style.roles === "some" && i % 2 === 0);
    return { path: `${folder}/${fileName(table.title)}.csv`, text: sheetText(table, named) };
  });
}

function fileName(title: string): string {
  return title
    .toLowerCase()
    .replaceAll("'", "")
    .replaceAll(/[^a-z0-9]+/g, "-")
    .replaceAll(/^-|-$/g, "");
}

/** A table as the contract's sheet. */
export function sheetText(table: Table, withRole: boolean): string {
  const lines = [`table,${table.title}`];
  if (withRole && table.role !== undefined) lines.push(`role,${table.role}`);
  lines.push(`unit,${table.unit}`);
  if (table.x === undefined) return `${[...lines, `value,${digits(table.cells[0]!)}`].join("\n")}\n`;
  lines.push(`x,${table.x.name},${table.x.unit}`);
  if (table.y !== undefined) lines.push(`y,${table.y.name},${table.y.unit}`);
  lines.push(`data,${[...table.x.values].map(digits).join(",")}`);
  const columns = columnsOf(table);
  for (let row = 0; row < rowsOf(table); row++) {
    const cells = [...table.cells.subarray(row * columns, (row + 1) * columns)].map(digits).join(",");
    lines.push(`${table.y === undefined ? "" : digits(table.y.values[row]!)},${cells}`);
  }
  return `${lines.join("\n")}\n`;
}

function digits(value: number): string {
  return String(Number(value.toPrecision(9)));
}

/** A recording in a dialect. */
export function recordingText(recording: Recording, dialect: Dialect): string {
  const signals = Object.keys(recording.channels) as SignalId[];
  const units = signals.map((id) => writtenUnit(id, dialect));
  const lines = [...dialect.preamble, ...Object.entries(recording.preamble).map(([key, value]) => `${key}: ${value}`)];
  const heads = [
    headOf("Time", dialect.time === "clock" ? "hh:mm:ss.mmm" : dialect.time === "seconds" ? "s" : "ms", dialect),
    ...signals.map((id, k) => headOf(writtenName(id, dialect), units[k]!.unit, dialect)),
    ...recording.others.map((o) => headOf(o.source, o.unit, dialect)),
  ];
  lines.push(heads.map((h) => (dialect.quoted ? `"${h}"` : h)).join(dialect.separator));
  if (dialect.units === "row")
    lines.push(
      [
        dialect.time === "clock" ? "hh:mm:ss.mmm" : dialect.time === "seconds" ? "s" : "ms",
        ...units.map((u) => u.unit),
        ...recording.others.map((o) => o.unit),
      ].join(dialect.separator),
    );
  const columns = signals.map((id) => recording.channels[id]!.values);
  for (let i = 0; i < recording.timeS.length; i++) {
    const row = [timeText(recording.timeS[i]!, dialect)];
    for (let k = 0; k < columns.length; k++) row.push(numberText(columns[k]![i]! * units[k]!.scale + units[k]!.offset, units[k]!.decimals, dialect));
    for (const other of recording.others) row.push(numberText(other.values[i]!, 1, dialect));
    lines.push(row.join(dialect.separator));
  }
  return `${lines.join("\n")}\n`;
}

function headOf(name: string, unit: string, dialect: Dialect): string {
  if (unit === "" || unit === "hh:mm:ss.mmm") return name;
  return dialect.units === "brackets" ? `${name} [${unit}]` : dialect.units === "parentheses" ? `${name} (${unit})` : name;
}

function numberText(value: number, decimals: number, dialect: Dialect): string {
  if (Number.isNaN(value)) return "";
  const text = String(Number(value.toFixed(decimals)));
  return dialect.decimalComma ? text.replace(".", ",") : text;
}

function timeText(seconds: number, dialect: Dialect): string {
  if (dialect.time === "milliseconds") return String(Math.round(seconds * 1000));
  if (dialect.time === "seconds") return numberText(seconds, 3, dialect);
  const ms = Math.round(seconds * 1000);
  const two = (v: number): string => String(v).padStart(2, "0");
  return `${two(Math.floor(ms / 3600000))}:${two(Math.floor(ms / 60000) % 60)}:${two(Math.floor(ms / 1000) % 60)}.${String(ms % 1000).padStart(3, "0")}`;
}

/** The truth in the words of the public examples. */
function truthJson(made: MadePacket, style: WriteStyle): unknown {
  const { truth } = made;
  const { vehicle } = truth;
  return {
    schema: "fettle.truth/1",
    seed: truth.seed,
    engine: vehicle.family,
    label: vehicle.label,
    strategy: vehicle.strategy,
    camChanged: vehicle.engine.cam.changed,
    ambient: vehicle.ambient,
    healthy: truth.healthy,
    faults: truth.faults.map(({ id, severity, defects, idleShare, how }) => ({
      id,
      severity,
      ...defects,
      ...(idleShare === undefined ? {} : { idleShare }),
      ...(how === undefined ? {} : { how }),
    })),
    distortion: truth.distortion,
    memoryClearedBefore: vehicle.memoryCleared,
    pulls: truth.pulls,
    edits: truth.edits,
    findings: truth.findings,
    mayAlsoFind: truth.mayAlsoFind,
    corrections: Object.fromEntries(
      Object.entries(truth.corrections).map(([role, t]) => [
        role,
        Object.fromEntries(
          Object.entries(t as Record<string, Float64Array>).map(([key, values]) => [
            key,
            [...values].map((v) => (Number.isNaN(v) ? null : Number(v.toPrecision(7)))),
          ]),
        ),
      ]),
    ),
    dialect: style.dialect.id,
    sheets: { roles: style.roles, titles: style.titles ?? 0 },
  };
}
