import { curve, single } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";

const times = curve("trans.shift-time", "s", [0, 200, 400], [0.5, 0.4, 0.3]);

export default defineCheck({
  id: "tables.not-comparable",
  title: "Tables that cannot be compared cell by cell",
  severity: "note",
  needs: [],
  why: "What the last hand did shows only against the factory's own table. A table that the reference lacks, or that has other breakpoints, is judged less surely or not at all; that must be known before silence is taken for innocence.",
  do: "Get the factory's calibration of this very vehicle, or look at these tables by eye.",
  severityRule: "note always",
  sources: ["common-practice"],
  examples: {
    fires: [
      { title: "the reference lacks a table", tables: [times, single("limit.engine-speed", "rpm", 6500)], reference: [times] },
      { title: "other breakpoints", tables: [curve("trans.shift-time", "s", [0, 100, 200, 300, 400], [0.5, 0.45, 0.4, 0.35, 0.3])], reference: [times] },
    ],
    silent: [{ tables: [times], reference: [times] }],
  },
  lacks: ({ reference }) => (reference === undefined ? "there is no reference calibration" : undefined),
  run({ edits, calibration, reference }) {
    const of = (kind: string): string[] => edits.filter((e) => e.kind === kind).map((e) => e.table);
    const [added, missing, otherAxes] = [of("added"), of("missing"), of("axes-changed")];
    const otherUnits = calibration.tables
      .filter((t) => t.role !== undefined && reference?.byRole[t.role] !== undefined && reference.byRole[t.role]!.unit !== t.unit)
      .map((t) => t.title);
    const because: string[] = [];
    if (added.length > 0) because.push(`not in the reference: ${added.join(", ")}`);
    if (missing.length > 0) because.push(`only in the reference: ${missing.join(", ")}`);
    if (otherAxes.length > 0) because.push(`other breakpoints, compared by looking the reference up: ${otherAxes.join(", ")}`);
    if (otherUnits.length > 0) because.push(`units that do not convert: ${otherUnits.join(", ")}`);
    if (because.length === 0) return [];
    const tables = [...new Set([...added, ...missing, ...otherAxes, ...otherUnits])].sort();
    return [
      { tables, summary: `${tables.length === 1 ? "One table" : `${tables.length} tables`} cannot be compared with the reference cell by cell`, because },
    ];
  },
});
