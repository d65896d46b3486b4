import type { Edit } from "../result/index.ts";
import type { Calibration, Role, Table } from "../tables/index.ts";
import { explainEdit } from "./explain.ts";
import { plain } from "./words.ts";

/**
 * What was done to every table of a calibration, against its reference; tables are paired by role, else by title. Tables that only one
 * side has are `missing` (reference only) or `added`. Sorted by role, then title.
 */
export function explainEdits(calibration: Calibration, reference: Calibration): Edit[] {
  const taken = new Set<Table>();
  const edits: Edit[] = [];
  for (const table of calibration.tables) {
    const partner = partnerOf(table, reference, taken);
    if (partner === undefined) {
      edits.push({
        table: table.title,
        role: table.role,
        kind: "added",
        cells: table.cells.length,
        summary: `not in the reference; ${table.cells.length} cells`,
      });
      continue;
    }
    taken.add(partner);
    edits.push(withOtherAxle(explainEdit(table, partner), table, calibration, reference));
  }
  for (const table of reference.tables)
    if (!taken.has(table))
      edits.push({ table: table.title, role: table.role, kind: "missing", cells: table.cells.length, summary: "only in the reference; nothing to compare" });
  return edits.sort((a, b) => order(a, b));
}

function order(a: Edit, b: Edit): number {
  const [x, y] = [`${a.role ?? "~"} ${a.table}`, `${b.role ?? "~"} ${b.table}`];
  return x < y ? -1 : x > y ? 1 : 0;
}

function partnerOf(table: Table, reference: Calibration, taken: ReadonlySet<Table>): Table | undefined {
  const byRole = table.role === undefined ? undefined : reference.byRole[table.role];
  if (byRole !== undefined && !taken.has(byRole)) return byRole;
  return reference.tables.find((t) => !taken.has(t) && t.title === table.title && (t.role === undefined || table.role === undefined || t.role === table.role));
}

/** Tables of road speed move with the axle: a factor that the axles or tyres of the two calibrations explain is said to be that. */
const MOVE_WITH_AXLE: readonly Role[] = ["trans.shift-speed-up"];

/** Road speed at one engine speed, received over reference, from the axle and tyre entries of the two calibrations. */
export function roadSpeedRatio(calibration: Calibration, reference: Calibration): number | undefined {
  let ratio = 1;
  let known = false;
  for (const role of ["driveline.axle-ratio", "driveline.tire-revs-per-km"] as const) {
    const [mine, theirs] = [calibration.byRole[role]?.cells[0], reference.byRole[role]?.cells[0]];
    if (mine === undefined || theirs === undefined || !(mine > 0) || !(theirs > 0)) continue;
    ratio *= theirs / mine;
    known = true;
  }
  return known ? ratio : undefined;
}

function withOtherAxle(edit: Edit, table: Table, calibration: Calibration, reference: Calibration): Edit {
  if (edit.kind !== "scaled" || edit.by === undefined || table.role === undefined || !MOVE_WITH_AXLE.includes(table.role)) return edit;
  const ratio = roadSpeedRatio(calibration, reference);
  if (ratio !== undefined && Math.abs(ratio - 1) > 0.005 && Math.abs(edit.by / ratio - 1) < 0.015)
    return { ...edit, summary: `${edit.summary}; that is what the other axle and tyre entries explain (${plain(ratio)})` };
  return { ...edit, summary: `${edit.summary}; a constant factor on shift speeds is what another axle ratio would give` };
}
