import { defineCorrection } from "../define.ts";
import { findingOf, referenceCells, ruledChange } from "../from-findings.ts";

/** Share of the torque axis from which the clutch carries real torque. */
const LOADED_SHARE = 0.3;
/** Duty from which a clutch is applied, whatever its lining [%]. Common practice, no published source. */
const APPLIED_PERCENT = 95;
/** Points by which the factory must lie above for the factory to be the answer. */
const BELOW_FACTORY = 2;

export default defineCorrection({
  id: "trans.lockup-duty-minimum",
  title: "Lock-up clutch applied where it carries torque",
  writes: "trans.lockup-duty-minimum",
  needs: ["trans.lockup-duty-minimum"],
  observationsNeeded: "None.",
  why: "A lock-up clutch held below full duty under torque slips on purpose, and a lining that was not made for it burns.",
  heldBy: [],
  largestStep: Number.POSITIVE_INFINITY,
  sources: ["RT-24", "common-practice"],
  compute(input) {
    if (findingOf(input, "trans.lockup-modulated") === undefined) return {};
    const table = input.table["trans.lockup-duty-minimum"]!;
    const factory = referenceCells(input, "trans.lockup-duty-minimum", table);
    const torque = table.x?.values;
    const isLoaded = (k: number): boolean => torque === undefined || torque[k]! >= LOADED_SHARE * torque.at(-1)!;
    const isLowered = factory !== undefined && table.cells.some((cell, k) => isLoaded(k) && factory[k]! - cell > BELOW_FACTORY);
    // Raised only: a minimum above the factory's is nobody's mistake.
    const cells = isLowered
      ? table.cells.map((cell, k) => Math.max(cell, factory[k]!))
      : table.cells.map((cell, k) => (isLoaded(k) ? Math.max(cell, APPLIED_PERCENT) : cell));
    return {
      change: ruledChange(
        cells,
        isLowered
          ? "Cells below the factory's minimum go back to it; cells above it stay."
          : `Where torque is high the clutch is to be applied, not modulated: at least ${APPLIED_PERCENT} % from ${100 * LOADED_SHARE} % of the torque axis on.`,
      ),
    };
  },
});
