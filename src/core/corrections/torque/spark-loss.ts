import { median } from "../../../base/index.ts";
import { type CorrectionInput, defineCorrection } from "../define.ts";
import { findingOf, referenceCells, ruledChange, timesInWords } from "../from-findings.ts";

export default defineCorrection({
  id: "torque.spark-loss",
  title: "Torque lost to retard, put back so that a reduction can be found",
  writes: "torque.spark-loss",
  needs: ["torque.spark-loss"],
  observationsNeeded: "None; it takes a reference calibration with the factory's table.",
  why: "The controller looks backwards through this table for the retard that takes the asked share of torque away. Zeroed, it finds none, and every shift hits at full torque whatever the request says.",
  heldBy: [],
  largestStep: Number.POSITIVE_INFINITY,
  sources: ["common-practice", "PH-19"],
  compute(input) {
    if (findingOf(input, "torque.reduction-without-effect", ["stop", "fix", "watch"]) === undefined) return {};
    const table = input.table["torque.spark-loss"]!;
    const factory = referenceCells(input, "torque.spark-loss", table);
    if (factory === undefined || !factory.some((loss) => loss > 0))
      return { couldNot: "torque.spark-loss was not restored: the reference holds no table of torque lost to retard" };
    return { change: ruledChange(factory, `The factory's table is put back. ${partners(input)}`) };
  },
});

/** What the requests give once the loss table works: they are left as the last hand wanted them. */
function partners(input: CorrectionInput): string {
  const request = input.calibration.byRole["torque.shift-reduction"];
  if (request === undefined) return "";
  const factory = referenceCells(input, "torque.shift-reduction", request);
  const ratio = factory === undefined ? Number.NaN : median(Array.from(request.cells, (cell, k) => (factory[k]! > 0.005 ? cell / factory[k]! : Number.NaN)));
  if (Number.isNaN(ratio)) return "The requests stay as they are and take effect again: look at them before the first shift under load.";
  if (Math.abs(ratio - 1) < 0.02) return "The shift request is the factory's: with the table back, shifts are reduced as the factory meant.";
  return `The shift request is ${timesInWords(ratio)} the factory's: with the table back it gives ${timesInWords(ratio)} the factory's reduction, and is left so. Lower the request, not this table, if less is wanted.`;
}
