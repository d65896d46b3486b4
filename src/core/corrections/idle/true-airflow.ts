import type { Observations } from "../../residuals/index.ts";
import { lookUp, lookUpCurve, type Table, withCells } from "../../tables/index.ts";
import { meterFrequency } from "../air/spans.ts";
import type { CorrectionInput, SharedFits } from "../define.ts";

/** Air that the engine drew, shape (n) [g/s], and where the figure comes from. */
export interface TrueAirflow {
  readonly gps: Float64Array;
  readonly from: "meter" | "speed-density" | "fuel";
}

/**
 * The air the engine really drew: by the meter with its corrected curve; without a meter by speed and density with the corrected VE;
 * without either table by the fuel it was given and what the mixture became.
 */
export function trueAirflow(o: Observations, input: CorrectionInput, shared: SharedFits): TrueAirflow {
  const air = shared.air();
  const meter = input.calibration.byRole["air.meter-curve"];
  const ve = input.calibration.byRole["air.ve"];
  if (air?.samples.meter !== undefined && meter !== undefined) {
    const corrected = scaled(meter, air.fit.meterLn);
    const mafHz = meterFrequency(o, meter);
    return { from: "meter", gps: mafHz.map((hz, i) => (hz > 0 ? lookUpCurve(corrected, hz) : o.meterGps[i]!)) };
  }
  if (air?.samples.ve !== undefined && ve !== undefined) {
    const corrected = scaled(ve, air.fit.veLn);
    return {
      from: "speed-density",
      gps: o.speedDensityGps.map((gps, i) => (gps * lookUp(corrected, o.rpm[i]!, o.mapKpa[i]!)) / (100 * o.tableVeFraction[i]!)),
    };
  }
  return { from: "fuel", gps: o.controllerGps.map((gps, i) => gps * Math.exp(o.fuelResidual[i]!)) };
}

function scaled(table: Table, ln: Float64Array): Table {
  return withCells(
    table,
    table.cells.map((cell, k) => cell * Math.exp(ln[k]!)),
  );
}
