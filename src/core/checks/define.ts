import type { Observations } from "../residuals/index.ts";
import type { Edit, Intake, Severity } from "../result/index.ts";
import type { Calibration, Role, Table } from "../tables/index.ts";
import type { WarmIdle } from "./warm-idle.ts";

/** Everything a check may look at. Nothing in it may be changed. */
export interface CheckInput {
  readonly calibration: Calibration;
  readonly reference: Calibration | undefined;
  readonly edits: readonly Edit[];
  readonly intake: Intake;
  readonly observations: readonly Observations[];
  /** What the recordings' warm idles show, one an observation that has one. */
  readonly warmIdles: readonly WarmIdle[];
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
  readonly warmIdle?: WarmIdle;
}

/** One check: says everything about itself. A role in `needs` that is missing gives a couldNot line, and `run` is not called. */
export interface Check {
  readonly id: string;
  readonly title: string;
  readonly severity: Severity;
  readonly needs: readonly Role[];
  /** Roles that must also be in the reference. */
  readonly needsReference?: readonly Role[];
  /** Means something only with an automatic transmission: passed over in silence where the intake says manual. */
  readonly automaticOnly?: boolean;
  /** Words for an input beside tables that is missing ("the fuel's ethanol content"): a couldNot line, and `run` is not called. */
  lacks?(input: CheckInput): string | undefined;
  readonly why: string;
  readonly do: string;
  /** When severity differs from the default, in words. */
  readonly severityRule?: string;
  readonly sources: readonly string[];
  readonly examples: { readonly fires: readonly CheckExample[]; readonly silent: readonly CheckExample[] };
  run(input: CheckRun): readonly CheckHit[];
}

/** The input with tables by role; a role in `needs` is there, any other may not be. */
export interface CheckRun extends CheckInput {
  readonly table: Readonly<Record<Role, Table>>;
  readonly referenceTable: Readonly<Partial<Record<Role, Table>>>;
}

export function defineCheck(check: Check): Check {
  return check;
}
