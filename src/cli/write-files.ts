import { mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { UnusableInput } from "../base/index.ts";
import type { OutFile } from "../desk/index.ts";

/**
 * Writes files into a folder so that a reader never meets half of one: everything is laid down beside the folder first and
 * moved in when it is whole.
 * @throws UnusableInput when the folder cannot be written
 */
export function writeFiles(folder: string, files: readonly OutFile[]): void {
  const target = resolve(folder);
  let staging: string | undefined;
  try {
    mkdirSync(target, { recursive: true });
    staging = mkdtempSync(join(dirname(target), ".fettle-part-"));
    for (const file of files) {
      const path = join(staging, file.path);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, file.content);
    }
    for (const file of files) {
      mkdirSync(dirname(join(target, file.path)), { recursive: true });
      renameSync(join(staging, file.path), join(target, file.path));
    }
  } catch (error) {
    throw new UnusableInput({
      at: { file: folder },
      what: `The results could not be written: ${error instanceof Error ? error.message : String(error)}`,
      do: "Give a folder that can be written with --out",
    });
  } finally {
    if (staging !== undefined) rmSync(staging, { recursive: true, force: true });
  }
}
