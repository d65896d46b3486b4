import { speedDensityGps } from "../../controller/index.ts";
import type { Intake } from "../../result/index.ts";
import { columnsOf, lookUpCurve, type Table } from "../../tables/index.ts";
import { type CorrectionInput, holdingFault, type SharedFits } from "../define.ts";
import type { AirFit } from "./air-fit.ts";
import { type ChargeHeating, HEATING_HELD_BY, heatingAt } from "./charge-heating.ts";

/** VE that asks for less than this where the engine ran (ln, root mean square) stands well enough to look behind it. Common practice, no published source. */
const SETTLED_LN = 0.015;

/** Whether VE stands where the engine ran. */
export function isSettled({ fit }: AirFit): boolean {
  let squares = 0;
  let weight = 0;
  for (let k = 0; k < fit.veLn.length; k++) {
    squares += fit.veCoverage[k]! * fit.veLn[k]! ** 2;
    weight += fit.veCoverage[k]!;
  }
  return weight > 0 && Math.sqrt(squares / weight) < SETTLED_LN;
}

/** What the blend is corrected by in this round, and VE follows: clear, not held for a repair, and VE stands. */
export function heatingInForce({ shared, suspects }: Pick<CorrectionInput, "suspects"> & { readonly shared: SharedFits }): ChargeHeating | undefined {
  const heating = shared.heating();
  const air = shared.air();
  const isHeld = holdingFault(suspects, HEATING_HELD_BY) !== undefined;
  return heating?.isClear === true && air !== undefined && isSettled(air) && !isHeld ? heating : undefined;
}

/**
 * By how much each VE cell has to follow so that a corrected blend leaves the warm engine's air where it is (ln), shape as the table's cells: air goes
 * with VE/T, so VE moves as the warm charge's temperature does.
 * @source formula-sheet; PH-13
 */
export function followBlendLn(ve: Table, blend: Table, heating: ChargeHeating, engine: Intake["engine"]): Float64Array {
  const { intakeK, aboveK } = heating.warm;
  const columns = columnsOf(ve);
  return ve.cells.map((cell, k) => {
    const at = { veFraction: cell / 100, rpm: ve.x!.values[k % columns]!, mapKpa: ve.y!.values[Math.floor(k / columns)]!, chargeK: intakeK + 0.2 * aboveK };
    const flow = speedDensityGps(engine, at);
    const share = lookUpCurve(blend, flow);
    return Math.log((intakeK + share * (1 + heatingAt(heating, flow).value) * aboveK) / (intakeK + share * aboveK));
  });
}
