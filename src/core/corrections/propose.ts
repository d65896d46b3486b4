import type { Role, Table } from "../tables/index.ts";
import { withCells } from "../tables/index.ts";
import { airFit } from "./air/air-fit.ts";
import { chargeHeating } from "./air/charge-heating.ts";
import { type CellChange, type CorrectionDefinition, type CorrectionInput, type CorrectionProposal, holdingFault, type SharedFits } from "./define.ts";
import { injectorFitOf } from "./fuel/injector-suspicion.ts";
import { limitCells, roundToFormat } from "./limits.ts";
import { CORRECTIONS } from "./registry.ts";

/** Independent samples that a cell needs to count as covered. @source RT-29 (common practice) */
const COVERED_FROM = 5;

/** All corrections that the recordings ask for, in order of role, and what could not be corrected for want of an input. */
export function proposeCorrections(input: CorrectionInput): { readonly proposals: readonly CorrectionProposal[]; readonly couldNot: readonly string[] } {
  const proposals: CorrectionProposal[] = [];
  const couldNot: string[] = [];
  const shared = sharedFits(input);
  for (const definition of CORRECTIONS) {
    const missing = definition.needs.filter((role) => input.calibration.byRole[role] === undefined);
    if (missing.length > 0) {
      couldNot.push(`${definition.id} was not corrected: the calibration holds no ${missing.join(", ")}`);
      continue;
    }
    const table = Object.fromEntries(definition.needs.map((role) => [role, input.calibration.byRole[role]!])) as Record<Role, Table>;
    const outcome = definition.compute({ ...input, table, shared });
    if (outcome.couldNot !== undefined) couldNot.push(outcome.couldNot);
    const before = input.calibration.byRole[definition.writes];
    if (outcome.change !== undefined && before !== undefined) proposals.push(proposalOf(definition, before, outcome.change, input));
  }
  return { proposals, couldNot };
}

/** Fault that the diagnosis wants mended before this role is touched. */
function heldByRepair(role: Role, input: CorrectionInput): string | undefined {
  const first = [...(input.repairFirst ?? [])].sort((a, b) => b.probability - a.probability).find((repair) => repair.holds.includes(role));
  return first?.fault;
}

function sharedFits(input: CorrectionInput): SharedFits {
  const air = once(() => airFit(input));
  return { air, heating: once(() => chargeHeating(input, air())), injectors: once(() => injectorFitOf(input)) };
}

function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | undefined;
  return () => {
    made = made ?? { value: make() };
    return made.value;
  };
}

function proposalOf(definition: CorrectionDefinition, before: Table, change: CellChange, input: CorrectionInput): CorrectionProposal {
  const limited = limitCells(definition, before, change);
  const cells = roundToFormat(limited.cells, before.format);
  // A cell that its own format cannot tell from the old one is not a change.
  const unchanged = roundToFormat(before.cells, before.format);
  let changed = 0;
  let sum = 0;
  for (let k = 0; k < cells.length; k++) {
    if (Math.abs(cells[k]! - unchanged[k]!) <= 1e-9 * Math.max(1, Math.abs(unchanged[k]!))) {
      cells[k] = before.cells[k]!;
      continue;
    }
    changed++;
    sum += before.cells[k] === 0 ? 0 : Math.abs(cells[k]! / before.cells[k]! - 1);
  }
  const heldBecause = change.heldBecause ?? heldByRepair(definition.writes, input) ?? holdingFault(input.suspects, definition.heldBy);
  return {
    role: definition.writes,
    before,
    after: withCells(before, cells),
    sd: change.sd,
    sdKind: change.sdKind,
    coverage: change.coverage,
    cellsChanged: changed,
    cellsCovered: change.coverage.reduce((count, samples) => count + (samples >= COVERED_FROM ? 1 : 0), 0),
    meanAbsChangePercent: changed === 0 ? 0 : Math.round((1000 * 100 * sum) / changed) / 1000,
    limited: limited.limited,
    why: change.why,
    ...(heldBecause === undefined ? {} : { heldBecause }),
  };
}
