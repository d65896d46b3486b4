import { UnusableInput } from "../base/index.ts";

/** Runs a command's work; an input that cannot be used becomes one line on stderr and status 1. */
export async function orFail(work: () => void | Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    if (!(error instanceof UnusableInput)) throw error;
    process.stderr.write(`${error.message}\n`);
    process.exitCode = 1;
  }
}
