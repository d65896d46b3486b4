import { defineCorrection } from "../define.ts";
import { heldByMeter } from "./air-fit.ts";
import { askedForInWords } from "./asked-for.ts";
import { followBlendLn, heatingInForce } from "./follow-blend.ts";

/** A correction carried on to where nobody drove is worth making while its doubt stays well below this (ln). Common practice, no published source. */
const DOUBT_LIMIT = 0.12;

/** Share of a correction that is made: nearly all of it while it is known to some percents, half at the limit, next to nothing where it is a guess. */
function worthOfCorrection(sd: number): number {
  return 1 / (1 + (sd / DOUBT_LIMIT) ** 4);
}

export default defineCorrection({
  id: "air.ve",
  title: "Volumetric efficiency from the drive",
  writes: "air.ve",
  needs: ["air.ve"],
  observationsNeeded: "Steady warm driving with trims, and measured lambda or closed loop; a metered airflow helps wherever the engine ran.",
  why: "Speed-density air is only as right as this table; where it is wrong, trims carry the error at steady speed and nothing does in a transient.",
  heldBy: ["sensor.map-bias", "fuel.delivery-low", "exhaust.leak-ahead-of-sensor", "fuel.injector-flow-mismatch", "fuel.injector-dead-time-mismatch"],
  largestStep: 0.15,
  sources: ["common-practice", "lindgren-2011", "rasmussen-williams-2006"],
  compute(input) {
    const { table, shared } = input;
    const air = shared.air();
    const ve = air?.samples.ve;
    if (air === undefined || ve === undefined) return { couldNot: "air.ve was not corrected: no steady running with trims, lambda or metered air" };
    const { fit } = air;
    if (!fit.veCoverage.some((samples) => samples > 0))
      return { couldNot: "air.ve was not corrected: the recordings do not hold manifold pressure together with trims, lambda or metered air that tell of it" };
    const heldBecause = heldByMeter(air, input);
    const worth = fit.veSd.map(worthOfCorrection);
    const before = table["air.ve"]!;
    const blend = input.calibration.byRole["air.charge-temperature-blend"];
    const heating = blend === undefined ? undefined : heatingInForce(input);
    const followLn = heating === undefined ? undefined : followBlendLn(before, blend!, heating, input.intake.engine);
    return {
      change: {
        ...(heldBecause === undefined ? {} : { heldBecause }),
        cells: before.cells.map((cell, k) => cell * Math.exp(worth[k]! * fit.veLn[k]! + (followLn?.[k] ?? 0))),
        sd: fit.veSd.map((sd, k) => Math.hypot(sd, (1 - worth[k]!) * fit.veLn[k]!)),
        sdKind: "relative",
        coverage: fit.veCoverage,
        why: `Fuel residual where speed-density gave the air, and metered against speed-density air everywhere, fitted together with the meter's curve.${askedForInWords(fit.veLn, fit.veCoverage, "cells")} Cells not driven follow the shape of those that were, the less the more doubtful they are.${followLn === undefined ? "" : " Every cell follows the proposed charge temperature blend, so that the warm engine stays where it is: accept both or neither."}`,
      },
    };
  },
});
