import { defineCorrection } from "../define.ts";
import { askedForInWords } from "./asked-for.ts";

export default defineCorrection({
  id: "air.meter-curve",
  title: "Airflow meter curve from the drive",
  writes: "air.meter-curve",
  needs: ["air.meter-curve"],
  observationsNeeded: "Steady warm driving with the meter's frequency logged, trims, and measured lambda or closed loop.",
  why: "A changed air box or duct changes what the meter's signal means; above the switch speed nothing else gives the air.",
  heldBy: [
    "air.meter-low",
    "air.meter-high",
    "air.unmetered-leak",
    "fuel.delivery-low",
    "exhaust.leak-ahead-of-sensor",
    "fuel.injector-flow-mismatch",
    "fuel.injector-dead-time-mismatch",
  ],
  largestStep: 0.15,
  monotone: "rising",
  sources: ["common-practice", "lindgren-2011", "rasmussen-williams-2006"],
  compute({ table, shared }) {
    const air = shared.air();
    const meter = air?.samples.meter;
    if (air === undefined || meter === undefined)
      return { couldNot: "air.meter-curve was not corrected: the recordings do not hold the meter's frequency in steady running" };
    const { fit } = air;
    if (!fit.meterCoverage.some((samples) => samples > 0))
      return { couldNot: "air.meter-curve was not corrected: no steady running tells the meter's air from the engine's" };
    return {
      change: {
        cells: table["air.meter-curve"]!.cells.map((cell, k) => cell * Math.exp(fit.meterLn[k]!)),
        sd: fit.meterSd,
        sdKind: "relative",
        coverage: fit.meterCoverage,
        why: `Fuel residual where the meter gave the air, and metered against speed-density air everywhere, fitted together with VE.${askedForInWords(fit.meterLn, fit.meterCoverage, "breakpoints")}`,
      },
    };
  },
});
