import { type Finding, findingKey } from "../core/result/index.ts";
import type { Hand } from "./hand.ts";

/** Answers every finding of a check. @throws Error when the check found nothing: the scenario would tell what is not so */
export function answer(
  hand: Hand,
  slug: string,
  findings: readonly Finding[],
  check: string,
  given: "accepted" | "disputed" | "done",
  why: string | undefined,
): void {
  const found = findings.filter((finding) => finding.check === check);
  if (found.length === 0) throw new Error(`${slug}: nothing was found by ${check}`);
  for (const finding of found) hand.enter(slug, "finding.answered", { finding: findingKey(finding), answer: given }, why);
}
