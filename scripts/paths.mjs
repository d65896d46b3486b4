// Where things lie in the checkout, and how the scripts speak. Node built-ins only.
import path from "node:path";
import { fileURLToPath } from "node:url";

/** The folder of the checkout. */
export const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "..");

/**
 * A path inside the checkout.
 * @param {...string} parts
 */
export function at(...parts) {
  return path.join(root, ...parts);
}

/**
 * One line to the person on stderr, so that stdout stays free for answers.
 * @param {string} text
 */
export function say(text) {
  process.stderr.write(`[setup] ${text}\n`);
}

/** Something a person must put right before the command can go on. */
export class SetupProblem extends Error {}
