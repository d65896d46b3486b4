import { UnusableInput } from "../base/index.ts";

const WHAT: Readonly<Record<string, string>> = {
  ENOSPC: "The disk is full",
  EDQUOT: "The disk quota is used up",
  EROFS: "The folder can only be read",
  EACCES: "This folder may not be written",
  EPERM: "This folder may not be written",
  EIO: "The disk reports a fault",
};

/** Turns the disk's refusal into one line that a person can act on. */
export function guarded<T>(file: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw inWords(file, error);
  }
}

/** As `guarded`, for work that takes its time. */
export async function guardedLater<T>(file: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw inWords(file, error);
  }
}

function inWords(file: string, error: unknown): unknown {
  const code = (error as NodeJS.ErrnoException).code;
  if (typeof code !== "string" || !/^E[A-Z0-9]+$/.test(code) || error instanceof UnusableInput) return error;
  const isFull = code === "ENOSPC" || code === "EDQUOT";
  // A disk that did not even take back what it had written: see appendWhole.
  const { isUnsure } = error as { readonly isUnsure?: boolean };
  const kept = isUnsure ? "whether this entry was kept is not sure: look at the history first" : "nothing of this entry was kept";
  return new UnusableInput({
    at: { file },
    what: `${WHAT[code] ?? `The book could not be written (${code})`}; ${kept}`,
    do: isFull ? "Make room and do it again; all earlier entries are safe" : "Check the disk and the rights on the folder; all earlier entries are safe",
  });
}
