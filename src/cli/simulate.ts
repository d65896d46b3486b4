import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { seededRandom, UnusableInput } from "../base/index.ts";
import {
  comeBack,
  DIALECTS,
  type Dialect,
  drawDialect,
  driveAgain,
  FAULT_IDS,
  type FaultId,
  type MadePacket,
  makePacket,
  packetFiles,
  recordingText,
  type TextFile,
} from "../core/virtual-engine/index.ts";
import { type PacketFile, readPacket } from "../formats/index.ts";

/** What `fettle simulate` was asked for. */
export interface SimulateFolderOptions {
  readonly seed: number;
  readonly out: string;
  /** Faults by id; empty: healthy. */
  readonly faults?: readonly string[];
  /** One severity for all faults, 0.2–1; drawn when left out. */
  readonly severity?: number;
  readonly family?: string;
  readonly sweeps?: number;
  /** How the files are written; drawn from the seed when left out. */
  readonly dialect?: string;
  /** Length of the road drive; drawn when left out. */
  readonly minutes?: number;
  /** Folder of table sheets: another drive of the same vehicle with these in its controller, instead of a whole packet. */
  readonly again?: string;
  /** Folder of table sheets: the same vehicle comes back months later with these in its controller; of `faults` at most one has come since. */
  readonly back?: string;
}

export interface SimulatedFolder {
  readonly out: string;
  readonly files: readonly string[];
  /** One line for the person at the terminal. */
  readonly summary: string;
}

/**
 * Writes a made-up packet with known truth into a folder, or the recordings of another drive of its vehicle on other tables.
 * @throws RangeError for an unknown fault, family or dialect, naming those known
 * @throws UnusableInput when the sheets for another drive cannot be read
 */
export function simulateToFolder(options: SimulateFolderOptions): SimulatedFolder {
  const faults = options.back === undefined ? (options.faults ?? []).map((id) => ({ id: knownFault(id), severity: options.severity })) : [];
  const made = makePacket(options.seed, { faults, family: options.family, sweeps: options.sweeps, minutes: options.minutes });
  const random = seededRandom(options.seed + 7);
  const dialect = options.dialect === undefined ? drawDialect(random) : DIALECTS.find((d) => d.id === options.dialect);
  if (dialect === undefined) throw new RangeError(`unknown dialect "${options.dialect}"; known: ${DIALECTS.map((d) => d.id).join(", ")}`);
  const style = { dialect, roles: random.pick(["all", "some", "none"] as const), titles: random.whole(0, 2) };
  const back = options.back === undefined ? undefined : backAgain(made, options.back, dialect, options);
  const files = back?.files ?? (options.again === undefined ? packetFiles(made, style) : driveFiles(made, sheetsIn(options.again), dialect, options));
  for (const file of files) {
    const path = join(options.out, file.path);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, file.text);
  }
  const planted = back?.faults ?? made.truth.faults;
  const what = planted.length === 0 ? "healthy" : planted.map((f) => `${f.id} ${f.severity.toFixed(2)}`).join(", ");
  return { out: options.out, files: files.map((f) => f.path), summary: `${made.truth.vehicle.label}, ${what}: ${files.length} files in ${options.out}` };
}

/** Another drive is another day: the same streets in another order. */
const OTHER_DAY = 1000;

function driveFiles(made: MadePacket, sheets: readonly PacketFile[], dialect: Dialect, options: SimulateFolderOptions): TextFile[] {
  const { recordings } = driveAgain(made, calibrationIn(made, sheets, options.again!), options.seed + OTHER_DAY, options.minutes);
  return recordings.map((recording) => ({ path: recording.file, text: recordingText(recording, dialect) }));
}

/** Months later: other weather, another tank, a little wear. */
const LATER = 2000;

function backAgain(made: MadePacket, folder: string, dialect: Dialect, options: SimulateFolderOptions) {
  const { faults: since = [], severity, minutes } = options;
  if (since.length > 1) throw new RangeError("with --back only one fault can have come since");
  const sheets = sheetsIn(folder);
  const calibration = calibrationIn(made, sheets, folder);
  const fault = since[0] === undefined ? {} : { fault: knownFault(since[0]), severity };
  const { packet, faults } = comeBack(made, options.seed + LATER, { calibration, minutes, ...fault });
  const truth = faults.map(({ id, severity: share }) => ({ fault: id, severity: share }));
  const files: TextFile[] = [
    { path: "intake.json", text: `${JSON.stringify(packet.intake, null, 2)}\n` },
    ...sheets.map(({ path, bytes }) => ({ path, text: new TextDecoder().decode(bytes) })),
    ...packet.recordings.map((recording) => ({ path: recording.file, text: recordingText(recording, dialect) })),
    { path: "truth.json", text: `${JSON.stringify({ faults: truth }, null, 1)}\n` },
  ];
  return { files, faults };
}

function calibrationIn(made: MadePacket, sheets: readonly PacketFile[], folder: string) {
  const intake = { path: "intake.json", bytes: new TextEncoder().encode(JSON.stringify(made.packet.intake)) };
  const tables = readPacket([intake, ...sheets]).asReceived;
  if (tables === undefined)
    throw new UnusableInput({ at: { file: folder }, what: "The folder holds no table sheets", do: "Give the folder that fettle sheets wrote" });
  return tables;
}

function sheetsIn(folder: string): PacketFile[] {
  if (statSync(folder, { throwIfNoEntry: false })?.isDirectory() !== true)
    throw new UnusableInput({ at: { file: folder }, what: "There is no such folder", do: "Give the folder that fettle sheets wrote" });
  return readdirSync(folder)
    .filter((name) => name.endsWith(".csv"))
    .sort()
    .map((name) => ({ path: `calibration/as-received/${name}`, bytes: readFileSync(join(folder, name)) }));
}

function knownFault(id: string): FaultId | "draw" {
  if (id === "draw") return id;
  const found = FAULT_IDS.find((known) => known === id);
  if (found === undefined) throw new RangeError(`unknown fault "${id}"; known: ${FAULT_IDS.join(", ")}`);
  return found;
}
