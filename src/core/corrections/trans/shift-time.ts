import { defineCorrection } from "../define.ts";
import { findingOf, referenceCells, ruledChange } from "../from-findings.ts";

/** A shift below this is asked to take no time [s]. */
const NO_TIME_S = 0.02;

export default defineCorrection({
  id: "trans.shift-time",
  title: "Shift times put back where a shift is asked to take none",
  writes: "trans.shift-time",
  needs: ["trans.shift-time"],
  observationsNeeded: "None; it takes a reference calibration with the factory's times.",
  why: "A clutch that must change over in no time is filled at full pressure and hits hard.",
  heldBy: [],
  largestStep: Number.POSITIVE_INFINITY,
  sources: ["common-practice"],
  compute(input) {
    if (findingOf(input, "trans.shift-time-zero") === undefined) return {};
    const table = input.table["trans.shift-time"]!;
    const factory = referenceCells(input, "trans.shift-time", table);
    if (factory === undefined) return { couldNot: "trans.shift-time was not restored: the reference holds no shift times" };
    return {
      change: ruledChange(
        table.cells.map((cell, k) => (cell < NO_TIME_S ? factory[k]! : cell)),
        "Cells that ask for a shift in no time go back to the factory's time; the others stay as the last hand wanted them.",
      ),
    };
  },
});
