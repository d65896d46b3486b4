import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { UnusableInput } from "../base/index.ts";
import type { LoadedPacket } from "../desk/index.ts";
import { type PacketFile, readPacketWithSheets } from "../formats/index.ts";

const FOLDERS = ["calibration/as-received", "calibration/reference", "recordings", "pulls"];

/** Reads a packet's folder; nothing but the files that the contract names is opened. @throws UnusableInput when it cannot be used */
export function loadPacket(directory: string): LoadedPacket {
  const originals = filesOf(directory);
  return { ...readPacketWithSheets(originals), originals };
}

/** The files of a packet's folder with their bytes. @throws UnusableInput when the folder or a file cannot be read */
export function filesOf(directory: string): PacketFile[] {
  if (!isDirectory(directory)) throw cannot(directory, "there is no such folder", "Give the folder of a packet, with intake.json in it");
  const paths: string[] = [];
  for (const path of ["intake.json", "intake.md"]) if (isFile(join(directory, path))) paths.push(path);
  for (const folder of FOLDERS) {
    if (!isDirectory(join(directory, folder))) continue;
    for (const name of readdirSync(join(directory, folder)).sort()) if (isFile(join(directory, folder, name))) paths.push(`${folder}/${name}`);
  }
  return paths.map((path) => ({ path, bytes: bytesOf(join(directory, path), path) }));
}

function bytesOf(full: string, path: string): Uint8Array {
  try {
    return readFileSync(full);
  } catch (error) {
    throw cannot(
      path,
      `the file cannot be opened (${error instanceof Error ? ((error as NodeJS.ErrnoException).code ?? error.message) : "unknown"})`,
      "Check that it is there and that you may read it",
    );
  }
}

function isDirectory(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isDirectory() ?? false;
}

function isFile(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isFile() ?? false;
}

function cannot(file: string, what: string, todo: string): UnusableInput {
  return new UnusableInput({ at: { file }, what, do: todo });
}
