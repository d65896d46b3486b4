import type { CellFormat } from "../../tables/index.ts";
import { defineCorrection } from "../define.ts";
import { findingOf, ruledChange } from "../from-findings.ts";

/** Printed digits and unit conversion. */
const SLACK = 1.0005;

export default defineCorrection({
  id: "trans.line-pressure",
  title: "Line pressure cut to its ceiling",
  writes: "trans.line-pressure",
  needs: ["trans.line-pressure", "trans.line-pressure-ceiling"],
  observationsNeeded: "None.",
  why: "A command above the ceiling makes the valve body dump pressure: the clutches get least where they need most.",
  heldBy: [],
  largestStep: Number.POSITIVE_INFINITY,
  sources: ["RT-22", "common-practice"],
  compute(input) {
    if (findingOf(input, "trans.pressure-over-ceiling") === undefined) return {};
    const table = input.table["trans.line-pressure"]!;
    const entered = input.table["trans.line-pressure-ceiling"]!.cells[0]!;
    // A ceiling raised over the factory's is a number: the valve body did not change with it.
    const ceiling = Math.min(entered, input.reference?.byRole["trans.line-pressure-ceiling"]?.cells[0] ?? entered);
    const most = notAbove(ceiling, table.format);
    const over = table.cells.filter((cell) => cell > ceiling * SLACK).length;
    if (over === 0) return {};
    return {
      change: ruledChange(
        table.cells.map((cell) => (cell > ceiling * SLACK ? most : cell)),
        `${over} ${over === 1 ? "cell is" : "cells are"} cut to the ceiling of ${ceiling.toFixed(0)} kPa; all others stay. Where more clamping is wanted, the hardware must give it.`,
      ),
    };
  },
});

/** The largest value that the sheet can write without passing the ceiling. */
function notAbove(ceiling: number, format: CellFormat | undefined): number {
  if (format === undefined || format.isReciprocal === true) return ceiling;
  const step = 10 ** format.decimals;
  return (Math.floor(((ceiling * SLACK - format.offset) / format.scale) * step) / step) * format.scale + format.offset;
}
