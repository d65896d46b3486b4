import type { Random } from "../../base/index.ts";
import { type Calibration, columnsOf, type Role, rowsOf, type Table, withCells } from "../tables/index.ts";
import { replaceTables } from "./as-received.ts";

/** An edit made on purpose, in the contract's words. */
export interface PlantedEdit {
  readonly role: Role;
  readonly kind: string;
  readonly by?: number;
  readonly region?: readonly [readonly [number, number], readonly [number, number]];
}

/** A contradiction made on purpose, named by the check that should find it. */
export interface PlantedFinding {
  readonly check: string;
  readonly roles: readonly Role[];
}

export interface Edited {
  readonly calibration: Calibration;
  readonly edits: readonly PlantedEdit[];
  readonly findings: readonly PlantedFinding[];
  readonly mayAlsoFind: readonly string[];
}

type Edit = (table: Table, random: Random) => { readonly cells: Float64Array; readonly edit: Omit<PlantedEdit, "role"> };

const scaledBy =
  (low: number, high: number): Edit =>
  (table, random) => {
    const by = Math.round(random.between(low, high) * 100) / 100;
    return { cells: table.cells.map((v) => v * by), edit: { kind: "scaled", by } };
  };

const offsetBy =
  (low: number, high: number, step: number): Edit =>
  (table, random) => {
    const by = Math.round(random.between(low, high) / step) * step || step;
    return { cells: table.cells.map((v) => v + by), edit: { kind: "offset", by } };
  };

/** A rectangle moved by a sum. */
const partOffsetBy =
  (low: number, high: number, step: number): Edit =>
  (table, random) => {
    const by = Math.round(random.between(low, high) / step) * step || step;
    const region = drawRegion(table, random);
    return { cells: inRegion(table, region, (v) => v + by), edit: { kind: "part-offset", by, region } };
  };

const partScaledBy =
  (low: number, high: number): Edit =>
  (table, random) => {
    const by = Math.round(random.between(low, high) * 100) / 100;
    const region = drawRegion(table, random);
    return { cells: inRegion(table, region, (v) => v * by), edit: { kind: "part-scaled", by, region } };
  };

function drawRegion(table: Table, random: Random): readonly [readonly [number, number], readonly [number, number]] {
  const rows = rowsOf(table);
  const columns = columnsOf(table);
  const top = rows < 3 ? 0 : random.whole(0, rows - 3);
  const left = columns < 3 ? 0 : random.whole(0, columns - 3);
  return [
    [top, left],
    [Math.min(rows - 1, top + random.whole(1, 4)), Math.min(columns - 1, left + random.whole(1, 4))],
  ];
}

function inRegion(table: Table, [from, to]: readonly [readonly [number, number], readonly [number, number]], change: (v: number) => number): Float64Array {
  const columns = columnsOf(table);
  return table.cells.map((v, i) => {
    const row = Math.floor(i / columns);
    const column = i % columns;
    return row >= from[0] && row <= to[0] && column >= from[1] && column <= to[1] ? change(v) : v;
  });
}

const zeroed: Edit = (table) => ({ cells: new Float64Array(table.cells.length), edit: { kind: "zeroed", by: 0 } });

/** Edits that an owner's taste explains and that break nothing. */
const HARMLESS: readonly { readonly role: Role; readonly make: Edit; readonly mayAlsoFind?: readonly string[] }[] = [
  { role: "torque.shift-reduction", make: scaledBy(0.8, 1.3) },
  { role: "limit.vehicle-speed", make: scaledBy(0.8, 1.2) },
  { role: "fuel.full-load-throttle", make: offsetBy(-8, 6, 0.5) },
  { role: "fuel.full-load-ratio", make: scaledBy(0.99, 1.03) },
  { role: "trans.line-pressure", make: partScaledBy(1.05, 1.14) },
  { role: "trans.shift-speed-up", make: scaledBy(0.94, 1.04) },
  { role: "spark.low-octane", make: partOffsetBy(-4, -0.5, 0.5), mayAlsoFind: ["spark.patch"] },
  { role: "spark.main", make: partOffsetBy(-3, -0.5, 0.5), mayAlsoFind: ["spark.patch"] },
  { role: "idle.throttle-follower", make: scaledBy(0.8, 1.25) },
  { role: "trans.lockup-duty-minimum", make: offsetBy(0.5, 1.5, 0.5) },
];

/** Edits that contradict the rest of the calibration or the hardware. */
const INCOHERENT: readonly {
  readonly check: string;
  readonly role: Role;
  readonly make: Edit;
  readonly also: readonly Role[];
  readonly needsShiftReduction?: boolean;
}[] = [
  { check: "torque.reduction-without-effect", role: "torque.spark-loss", make: zeroed, also: ["torque.shift-reduction"], needsShiftReduction: true },
  { check: "fuel.long-trim-off", role: "fuel.long-trim-enabled", make: zeroed, also: [] },
  { check: "trans.shift-time-zero", role: "trans.shift-time", make: zeroed, also: [] },
  { check: "fuel.full-load-too-lean", role: "fuel.full-load-ratio", make: scaledBy(0.84, 0.9), also: [] },
  { check: "spark.above-factory", role: "spark.main", make: offsetBy(3, 6, 0.5), also: [] },
  { check: "trans.pressure-over-ceiling", role: "trans.line-pressure", make: scaledBy(1.25, 1.4), also: ["trans.line-pressure-ceiling"] },
  { check: "limit.over-mechanical", role: "limit.engine-speed", make: scaledBy(1.18, 1.3), also: [] },
  { check: "trans.lockup-modulated", role: "trans.lockup-duty-minimum", make: scaledBy(0.6, 0.85), also: [] },
  { check: "driveline.axle-mismatch", role: "trans.shift-speed-up", make: scaledBy(1.09, 1.2), also: ["driveline.axle-ratio"] },
];

/** The calibration with so many harmless edits and contradictions in it, each on another table. */
export function editCalibration(random: Random, calibration: Calibration, wanted: { readonly harmless: number; readonly incoherent: number }): Edited {
  let edited = calibration;
  const edits: PlantedEdit[] = [];
  const findings: PlantedFinding[] = [];
  const mayAlsoFind: string[] = [];
  const used = new Set<Role>();
  const apply = (role: Role, make: Edit): boolean => {
    const table = edited.byRole[role];
    if (table === undefined || used.has(role)) return false;
    used.add(role);
    const made = make(table, random);
    edited = replaceTables(edited, { [role]: withCells(table, made.cells) });
    edits.push({ role, ...made.edit });
    return true;
  };
  for (let tries = 0; findings.length < wanted.incoherent && tries < 30; tries++) {
    const one = random.pick(INCOHERENT);
    if (one.needsShiftReduction && edited.byRole["torque.shift-reduction"] === undefined) continue;
    if (apply(one.role, one.make)) findings.push({ check: one.check, roles: [one.role, ...one.also] });
  }
  const harmlessFrom = edits.length;
  for (let tries = 0; edits.length - harmlessFrom < wanted.harmless && tries < 30; tries++) {
    const one = random.pick(HARMLESS);
    if (apply(one.role, one.make)) mayAlsoFind.push(...(one.mayAlsoFind ?? []));
  }
  return { calibration: edited, edits, findings, mayAlsoFind };
}
