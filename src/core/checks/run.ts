import { explainEdits } from "../edits/index.ts";
import type { Finding, Severity } from "../result/index.ts";
import type { Role, Table } from "../tables/index.ts";
import type { Check, CheckInput, CheckRun } from "./define.ts";
import { isManual } from "./facts.ts";
import { CHECKS } from "./registry.ts";
import { type WarmIdle, warmIdleOf } from "./warm-idle.ts";

/** What the job hands over; edits are worked out here when they are not given. */
export type ChecksInput = Omit<CheckInput, "edits" | "warmIdles"> & Partial<Pick<CheckInput, "edits" | "warmIdles">>;

const ORDER: Readonly<Record<Severity, number>> = { stop: 0, fix: 1, watch: 2, note: 3 };

/**
 * Runs every check: findings sorted by severity, then id, and a line for each check that lacked an input. The order of tables does not
 * matter, and nothing of the input is changed.
 */
export function runChecks(given: ChecksInput, checks: readonly Check[] = CHECKS): { findings: Finding[]; couldNot: string[] } {
  const input: CheckInput = {
    ...given,
    edits: given.edits ?? (given.reference === undefined ? [] : explainEdits(given.calibration, given.reference)),
    warmIdles: given.warmIdles ?? given.observations.map(warmIdleOf).filter((idle): idle is WarmIdle => idle !== undefined),
  };
  const run: CheckRun = {
    ...input,
    table: input.calibration.byRole as Readonly<Record<Role, Table>>,
    referenceTable: input.reference?.byRole ?? {},
  };
  const findings: Finding[] = [];
  const couldNot: string[] = [];
  for (const check of checks) {
    if (check.automaticOnly === true && isManual(input.intake)) continue;
    const lacking = lackOf(check, input);
    if (lacking !== undefined) couldNot.push(`check ${check.id}: ${lacking}`);
    else findings.push(...findingsOf(check, run));
  }
  findings.sort((a, b) => ORDER[a.severity] - ORDER[b.severity] || (a.check < b.check ? -1 : a.check > b.check ? 1 : 0));
  return { findings, couldNot };
}

function lackOf(check: Check, input: CheckInput): string | undefined {
  const missing = check.needs.filter((role) => input.calibration.byRole[role] === undefined);
  if (missing.length > 0) return `the calibration has no table with the role ${missing.join(", ")}`;
  const wanted = check.needsReference ?? [];
  if (wanted.length > 0 && input.reference === undefined) return "there is no reference calibration";
  const absent = wanted.filter((role) => input.reference?.byRole[role] === undefined);
  if (absent.length > 0) return `the reference has no table with the role ${absent.join(", ")}`;
  return check.lacks?.(input);
}

function findingsOf(check: Check, run: CheckRun): Finding[] {
  return check.run(run).map((hit) => ({
    check: check.id,
    severity: hit.severity ?? check.severity,
    tables: hit.tables ?? check.needs.map((role) => run.table[role].title),
    summary: hit.summary,
    because: hit.because,
    do: hit.do ?? check.do,
  }));
}
