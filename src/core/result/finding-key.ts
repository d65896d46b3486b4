import type { Finding } from "./result.ts";

/** One name for a finding over all analyses of a job: the check and the tables it concerns. */
export function findingKey(finding: Pick<Finding, "check" | "tables">): string {
  return `${finding.check} ${[...finding.tables].sort().join("|")}`.trim();
}

/** What was answered to a finding: to this very one, or to all that its check finds. */
export function answerTo<Answer>(answers: Readonly<Record<string, Answer>>, finding: Pick<Finding, "check" | "tables">): Answer | undefined {
  return answers[findingKey(finding)] ?? answers[finding.check];
}
