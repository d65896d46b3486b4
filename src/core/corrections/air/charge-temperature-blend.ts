import { defineCorrection } from "../define.ts";
import { HEATING_HELD_BY, heatingAt } from "./charge-heating.ts";
import { isSettled } from "./follow-blend.ts";

export default defineCorrection({
  id: "air.charge-temperature-blend",
  title: "Charge temperature from warm-up and heat soak",
  writes: "air.charge-temperature-blend",
  needs: ["air.charge-temperature-blend", "air.ve"],
  observationsNeeded:
    "A drive that begins with a cold engine, intake air and coolant temperature logged, and running before it is warm in the same cells as after. Metered air tells best.",
  why: "VE is right for the warm engine only; where the share of the coolant's heat is not, speed-density air drifts from every cold start to the end of the warm-up.",
  heldBy: HEATING_HELD_BY,
  largestStep: 0.6,
  monotone: "falling",
  sources: ["formula-sheet", "common-practice"],
  compute({ table, shared }) {
    const heating = shared.heating();
    if (heating === undefined)
      return { couldNot: "air.charge-temperature-blend was not corrected: no recording shows the same running with the engine cold and warm" };
    if (!heating.isClear) return {};
    const blend = table["air.charge-temperature-blend"]!;
    const drift = `From the coldest running to the warm engine speed-density air drifts by ${(100 * heating.driftLn).toFixed(1)} % more than the blend explains`;
    const air = shared.air();
    if (air === undefined || !isSettled(air))
      return { couldNot: `air.charge-temperature-blend was not corrected yet. ${drift}; VE comes first: accept it, drive from cold, and the blend follows` };
    const flows = blend.x?.values ?? Float64Array.of(0);
    const best = heating.coverage.indexOf(heating.coverage.reduce((a, b) => Math.max(a, b)));
    const at = heatingAt(heating, flows[best]!);
    return {
      change: {
        cells: blend.cells.map((share, k) => Math.min(1, Math.max(0, share * (1 + heatingAt(heating, flows[k]!).value)))),
        sd: blend.cells.map((share, k) => share * heatingAt(heating, flows[k]!).sd),
        sdKind: "absolute",
        coverage: heating.coverage,
        why:
          `${drift}: at ${Math.round(flows[best]!)} g/s the coolant's share of ${blend.cells[best]!.toFixed(2)} should be ${signedPercent(at.value)} % (± ${Math.round(164 * at.sd)}). ` +
          "Belongs with the proposed VE, which holds the warm engine where it is: accept both or neither.",
      },
    };
  },
});

function signedPercent(share: number): string {
  const percent = Math.round(100 * share);
  return percent < 0 ? `−${-percent}` : `+${percent}`;
}
