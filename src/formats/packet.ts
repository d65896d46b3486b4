import { formatProblem, type Problem } from "../base/index.ts";
import type { Packet } from "../core/job/index.ts";
import type { Recording } from "../core/recordings/index.ts";
import type { Intake } from "../core/result/index.ts";
import { calibrationOf } from "../core/tables/index.ts";
import { readIntake } from "./intake.ts";
import { type RecordingContext, readRecording } from "./recording/recording.ts";
import { assignRoles, type RolesByHand } from "./sheet/assign-roles.ts";
import { readTableSheet, type TableSheet } from "./sheet/table-sheet.ts";
import { unusable } from "./text.ts";

/** A file of a packet: path within it, forward slashes, and its bytes. */
export interface PacketFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}
export type PacketFiles = readonly PacketFile[];

/** A packet with the sheets that its tables came from, so that tables can be written back. */
export interface PacketRead {
  readonly packet: Packet;
  readonly asReceivedSheets: readonly TableSheet[];
  readonly referenceSheets: readonly TableSheet[];
}

const AS_RECEIVED = "calibration/as-received/";
const REFERENCE = "calibration/reference/";

/** Reads a packet. @throws UnusableInput when it cannot be used: one clear line with file and place. */
export function readPacket(files: PacketFiles): Packet {
  return readPacketWithSheets(files).packet;
}

/** What is known beside the files. */
export interface PacketContext {
  /** Columns that a person named in a recording: its path in, names of columns and their signals out. */
  readonly columns?: (path: string) => RecordingContext["columns"];
  /** Roles that a person gave tables, by title. */
  readonly roles?: RolesByHand;
}

/** Reads a packet and keeps the sheets. @throws UnusableInput as `readPacket` */
export function readPacketWithSheets(files: PacketFiles, context: PacketContext = {}): PacketRead {
  const sorted = [...files].sort((a, b) => (a.path < b.path ? -1 : a.path > b.path ? 1 : 0));
  const intake = intakeOf(sorted);
  const problems: Problem[] = [];
  const remarks: string[] = [];
  const sheets = assignRoles(sheetsIn(sorted, AS_RECEIVED), sheetsIn(sorted, REFERENCE), problems, remarks, context.roles);
  const recordings = recordingsIn(sorted, "recordings/", intake, problems, context);
  const pulls = recordingsIn(sorted, "pulls/", intake, problems, context);
  if (sheets.asReceived.length === 0 && recordings.length === 0 && pulls.length === 0)
    throw unusable(
      "packet",
      "found neither table sheets in calibration/as-received nor recordings nor pulls",
      "Put at least one table sheet or one recording into the packet",
    );
  const packet: Packet = {
    intake,
    asReceived: sheets.asReceived.length === 0 ? undefined : calibrationOf(sheets.asReceived.map((sheet) => sheet.table)),
    reference: sheets.reference.length === 0 ? undefined : calibrationOf(sheets.reference.map((sheet) => sheet.table)),
    recordings,
    pulls,
    problems,
    remarks: [...remarks, ...problems.map(formatProblem)],
  };
  return { packet, asReceivedSheets: sheets.asReceived, referenceSheets: sheets.reference };
}

function intakeOf(files: PacketFiles): Intake {
  const file = files.find(({ path }) => path === "intake.json");
  if (file === undefined) throw unusable("intake.json", "the file is missing", "Add it with at least engine.displacementL and engine.cylinders");
  return readIntake(file.path, file.bytes);
}

function isCsv(path: string): boolean {
  return /\.(csv|tsv|txt)$/i.test(path) && !/(^|\/)[._~]/.test(path);
}

function sheetsIn(files: PacketFiles, folder: string): TableSheet[] {
  return files.filter(({ path }) => path.startsWith(folder) && isCsv(path)).map(({ path, bytes }) => readTableSheet(path, bytes));
}

function recordingsIn(files: PacketFiles, folder: string, intake: Intake, problems: Problem[], context: PacketContext): Recording[] {
  return files
    .filter(({ path }) => path.startsWith(folder) && isCsv(path))
    .map(({ path, bytes }) => {
      const read = readRecording(path, bytes, { intake, isSweep: folder === "pulls/", columns: context.columns?.(path) });
      problems.push(...read.problems);
      return read.recording;
    });
}
