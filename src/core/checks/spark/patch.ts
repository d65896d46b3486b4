import type { Edit } from "../../result/index.ts";
import { columnsOf, grid, resampleLike, rowsOf, sameAxes, type Table } from "../../tables/index.ts";
import { type CheckHit, type CheckRun, defineCheck } from "../define.ts";
import { counted, plain, where } from "../words.ts";
import { findIsland, stepAlongBorder } from "./neighbourhood.ts";

/** Kinds of edits that leave a step around the changed cells. */
const STEPPED: readonly string[] = ["patched", "part-offset", "part-scaled", "spiked"];
const LEAST_DEG = { byEdit: 1.5, byDifference: 2, byItself: 2.5, oneCell: 3 } as const;
/** Share of the step that must be there in the table itself. */
const OWN_SHARE = 0.6;

const rpm = [800, 1600, 2400, 3200, 4000, 4800, 5600];
const load = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6];
const smooth = load.map((g) => rpm.map((n) => Math.round((40 - 38 * g + n / 1000) * 2) / 2));
const patched = smooth.map((row, r) => row.map((v, c) => (r >= 2 && r <= 3 && c >= 2 && c <= 4 ? v - 5 : v)));
const steep = smooth.map((row) => row.map((v, c) => (c < 2 ? v - 9 : v)));

export default defineCheck({
  id: "spark.patch",
  title: "Spark cells that do not belong to their neighbourhood",
  severity: "watch",
  needs: ["spark.main"],
  why: "Best spark changes smoothly with speed and load. A block or single cells that step off from their neighbours were typed in, most often to silence a knock or a flat spot without finding its cause; each crossing of the step is felt, and advance left standing in a hole's rim may knock.",
  do: "Find out what the patch was to cure. Put the neighbourhood's values back, then watch knock and torque there.",
  severityRule: "fix where the cells stand 4 degrees or more above their neighbours at high load; watch otherwise",
  sources: ["common-practice", "PH-19"],
  examples: {
    fires: [
      {
        title: "against the factory's table",
        tables: [grid("spark.main", "deg", rpm, load, patched)],
        reference: [grid("spark.main", "deg", rpm, load, smooth)],
      },
      { title: "without a reference", tables: [grid("spark.main", "deg", rpm, load, patched)] },
    ],
    silent: [
      { tables: [grid("spark.main", "deg", rpm, load, smooth)] },
      { title: "steep where idle ends", tables: [grid("spark.main", "deg", rpm, load, steep)] },
    ],
  },
  run(input) {
    return (["spark.main", "spark.low-octane"] as const).flatMap((role) => {
      const table = input.calibration.byRole[role];
      return table?.y === undefined ? [] : patchIn(table, input);
    });
  },
});

function patchIn(table: Table, input: CheckRun): CheckHit[] {
  const reference = table.role === undefined ? undefined : input.referenceTable[table.role];
  if (reference !== undefined) {
    const edit = input.edits.find((e) => e.role === table.role);
    if (edit !== undefined && STEPPED.includes(edit.kind)) return byEdit(table, reference, edit);
    if (edit === undefined || edit.kind === "unchanged") return [];
    const factory = sameAxes(table, reference) ? reference.cells : resampleLike(reference, table);
    return byIsland(
      table,
      table.cells.map((v, i) => v - factory[i]!),
      LEAST_DEG.byDifference,
      "against the factory's table",
    );
  }
  const other = input.calibration.byRole[table.role === "spark.main" ? "spark.low-octane" : "spark.main"];
  // What both spark tables share is the factory's own shape, steps included; an island in their difference is not.
  if (other !== undefined && sameAxes(table, other)) {
    return byIsland(
      table,
      table.cells.map((v, i) => v - other.cells[i]!),
      LEAST_DEG.byDifference,
      `against ${other.title}`,
    );
  }
  return byIsland(table, table.cells, LEAST_DEG.byItself, "against its own neighbours");
}

function byEdit(table: Table, reference: Table, edit: Edit): CheckHit[] {
  if (!sameAxes(table, reference)) return [];
  const moves = table.cells.map((v, i) => v - reference.cells[i]!);
  const moved = Array.from(moves.keys()).filter((i) => Math.abs(moves[i]!) > 0.05);
  const most = moved.reduce((a, b) => (Math.abs(moves[b]!) > Math.abs(moves[a]!) ? b : a), moved[0]!);
  if (most === undefined || Math.abs(moves[most]!) < LEAST_DEG.byEdit) return [];
  return [hit(table, moved, moves[most]!, `against the factory's table: ${edit.summary}`)];
}

function byIsland(table: Table, field: Float64Array, leastDeg: number, against: string): CheckHit[] {
  const island = findIsland(field, { rows: rowsOf(table), columns: columnsOf(table), leastDeg, sidesInside: 3 });
  if (island === undefined) return [];
  // The step must be seen in the table itself: a difference of two smooth tables may have edges of its own.
  const own = stepAlongBorder(table.cells, island, { rows: rowsOf(table), columns: columnsOf(table) });
  if (own * Math.sign(island.heightDeg) < OWN_SHARE * Math.abs(island.heightDeg)) return [];
  if (island.cells.length === 1 && Math.abs(island.heightDeg) < LEAST_DEG.oneCell) return [];
  return [hit(table, island.cells, island.heightDeg, `${against}, a step of ${plain(Math.abs(island.heightDeg))}° along the border`)];
}

function hit(table: Table, cells: readonly number[], stepDeg: number, because: string): CheckHit {
  const columns = columnsOf(table);
  const isHighLoad = cells.some((c) => Math.floor(c / columns) >= rowsOf(table) / 2);
  return {
    severity: stepDeg >= 4 && isHighLoad ? "fix" : "watch",
    tables: [table.title],
    summary: `${counted(cells.length, "cell")} of ${table.title} ${cells.length === 1 ? "stands" : "stand"} ${plain(Math.abs(stepDeg))}° ${stepDeg < 0 ? "below" : "above"} the neighbourhood`,
    because: [where(table, cells), because],
  };
}
