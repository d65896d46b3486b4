import { median } from "../../../base/index.ts";
import type { Calibration } from "../../tables/index.ts";
import { type CorrectionInput, defineCorrection } from "../define.ts";
import { findingOf, referenceCells, ruledChange } from "../from-findings.ts";

/** Shift speeds moved by less than this are an owner's taste, not another axle's. Common practice, no published source. */
const TASTE = 0.07;
/** Spread of the ratio to the reference up to which the table is the reference's times one factor. */
const ONE_FACTOR = 0.03;
/** An entry that differs from the vehicle by less is a matter of digits or tyre wear. */
const SAME = 0.015;

export default defineCorrection({
  id: "trans.shift-speed-up",
  title: "Upshift speeds for the axle and tyre fitted",
  writes: "trans.shift-speed-up",
  needs: ["trans.shift-speed-up", "driveline.axle-ratio"],
  observationsNeeded: "None; the intake sheet should say which axle and tyre are fitted, and the reference which axle its tables were made for.",
  why: "Shift speeds are road speeds. With another axle or tyre the engine turns faster or slower at the same road speed, and every shift moves with it.",
  heldBy: [],
  largestStep: Number.POSITIVE_INFINITY,
  sources: ["PH-15", "RT-25", "common-practice"],
  compute(input) {
    if (findingOf(input, "driveline.axle-mismatch", ["stop", "fix", "watch"]) === undefined) return {};
    const table = input.table["trans.shift-speed-up"]!;
    const asked = factorAsked(input);
    if (asked === undefined) return {};
    return {
      change: ruledChange(
        table.cells.map((cell) => cell * asked.factor),
        asked.why,
        ["Enter the axle ratio and tyre that are fitted first; then the shift speeds. Road speed itself is read with those entries."],
      ),
    };
  },
});

/** Engine turns per km in top gear, by the entries of a calibration; undefined without an axle ratio. */
function turnsPerKm(calibration: Calibration, fallbackRevsPerKm: number): number | undefined {
  const axle = calibration.byRole["driveline.axle-ratio"]?.cells[0];
  return axle === undefined ? undefined : axle * (calibration.byRole["driveline.tire-revs-per-km"]?.cells[0] ?? fallbackRevsPerKm);
}

function factorAsked(input: CorrectionInput): { factor: number; why: string } | undefined {
  const { calibration, reference, intake } = input;
  const entered = calibration.byRole["driveline.axle-ratio"]!.cells[0]!;
  const enteredRevs = calibration.byRole["driveline.tire-revs-per-km"]?.cells[0] ?? intake.vehicle?.tireRevsPerKm ?? 1;
  const fitted = (intake.vehicle?.axleRatio ?? entered) * (intake.vehicle?.tireRevsPerKm ?? enteredRevs);
  const entry = entered * enteredRevs;
  const isEntryWrong = Math.abs(entry / fitted - 1) > SAME;
  const table = calibration.byRole["trans.shift-speed-up"]!;
  const factory = referenceCells(input, "trans.shift-speed-up", table);
  const madeFor = reference === undefined ? undefined : turnsPerKm(reference, enteredRevs);
  if (factory !== undefined && madeFor !== undefined) {
    const ratios = Array.from(table.cells, (cell, k) => (factory[k]! > 0 ? cell / factory[k]! : Number.NaN)).filter((ratio) => ratio > 0);
    const now = median(ratios);
    const wanted = madeFor / fitted;
    const isOneFactor = ratios.filter((ratio) => Math.abs(ratio / now - 1) > ONE_FACTOR).length <= 0.1 * ratios.length;
    if (!isOneFactor || Math.abs(wanted / now - 1) <= (isEntryWrong ? SAME : TASTE)) return undefined;
    return {
      factor: wanted / now,
      why: `The shift speeds are ${now.toFixed(3)} times the reference's; the axle and tyre fitted ask for ${wanted.toFixed(3)} times. One factor of ${(wanted / now).toFixed(3)} keeps the shape that the last hand gave them.`,
    };
  }
  if (!isEntryWrong) return undefined;
  return {
    factor: entry / fitted,
    why: `The shift speeds were made for the axle and tyre entered; the vehicle has others. As road speeds they go by one factor of ${(entry / fitted).toFixed(3)}, so that the engine shifts at the same speeds of its own.`,
  };
}
