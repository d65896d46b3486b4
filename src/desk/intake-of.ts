import { UnusableInput } from "../base/index.ts";
import { type Book, type JobState, readOriginal } from "../book/index.ts";
import type { Intake } from "../core/result/index.ts";
import { readIntake } from "../formats/index.ts";

/** A job's intake as last written, or as its sheet came; undefined where it has none that can be read (its analysis tells why). */
export function intakeOf(book: Book, state: JobState): Intake | undefined {
  if (state.intake !== undefined) return state.intake;
  const file = state.files.find(({ path }) => path === "intake.json");
  if (file === undefined) return undefined;
  try {
    return readIntake(file.path, readOriginal(book, state.slug, file));
  } catch (error) {
    if (error instanceof UnusableInput) return undefined;
    throw error;
  }
}
