import type { Observations } from "../residuals/index.ts";
import type { Edit, Intake, Severity } from "../result/index.ts";
import type { Calibration, Role, Table } from "../tables/index.ts";

/** Everything a check may look at. Nothing in it may be changed. */
export interface CheckInput {
  readonly calibration: Calibration;
  readonly reference: Calibration | undefined;
  readonly edits: readonly Edit[];
  readonly intake: Intake;
  readonly observations: readonly Observations[];
}

/** What a check found; the registry adds id, default severity and action. */
export interface CheckHit {
  readonly severity?: Severity;
  /** Titles of the tables concerned; left out: the tables of `needs`. */
  readonly tables?: readonly string[];
  readonly summary: string;
  readonly because: readonly string[];
  readonly do?: string;
}

/** An example that the reference page shows and the contract test runs. */
export interface CheckExample {
  readonly title?: string;
  readonly tables: readonly Table[];
  readonly reference?: readonly Table[];
  readonly intake?: Partial<Intake>;
}

/** One check: says everything about itself. A role in `needs` that is missing gives a couldNot line, and `run` is not called. */
export interface Check {
  readonly id: string;
  readonly title: string;
  readonly severity: Severity;
  readonly needs: readonly Role[];
  /** Roles that must also be in the reference. */
  readonly needsReference?: readonly Role[];
  readonly why: string;
  readonly do: string;
  /** When severity differs from the default, in words. */
  readonly severityRule?: string;
  readonly sources: readonly string[];
  readonly examples: { readonly fires: readonly CheckExample[]; readonly silent: readonly CheckExample[] };
  run(
    input: CheckInput & { readonly table: Readonly<Record<Role, Table>>; readonly referenceTable: Readonly<Partial<Record<Role, Table>>> },
  ): readonly CheckHit[];
}

export function defineCheck(check: Check): Check {
  return check;
}
