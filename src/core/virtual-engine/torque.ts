import type { EnginePlant, FuelPlant } from "./vehicle.ts";

/** Relative filling of a cylinder: air per cycle over what it holds at 25 °C and 101.3 kPa (1.184 g/L). @source PH-02, j1979: absolute load */
export function filling(airG: number, cylinderL: number): number {
  return airG / (1.184 * cylinderL);
}

/** Advance of best torque [deg]: rises with speed and as filling falls. @source PH-19 (trend); figures common practice */
export function bestAdvanceDeg(engine: EnginePlant, rpm: number, fillingShare: number): number {
  const speed = Math.log(Math.max(300, rpm) / 2000);
  return (
    engine.best.baseDeg +
    engine.best.perLogSpeedDeg * speed +
    engine.best.perFillingDeg * (0.4 - Math.min(1.1, fillingShare)) * (fillingShare < 0.4 ? 0.8 : 0.62)
  );
}

/** Torque kept at an advance [share of best]: a parabola near the best, never under a fifth. @source PH-19 */
export function sparkShare(engine: EnginePlant, fromBestDeg: number): number {
  return Math.max(0.2, 1 - engine.sparkLossPerDeg2 * fromBestDeg * fromBestDeg);
}

/** Torque of a mixture against lambda 1 at equal air: a little more when rich, fuel-limited when lean, gone past the lean limit. @source PH-19 (best torque near 0.86–0.94); figures common practice */
export function mixtureShare(lambda: number): number {
  if (lambda < 0.65) return Math.max(0, 0.98 - 3 * (0.65 - lambda));
  if (lambda < 1) return 1.04 - 2.9 * (lambda - 0.885) ** 2 - (lambda > 0.885 ? 0.0016 : 0);
  if (lambda < 1.25) return 1 - 0.75 * (lambda - 1);
  return Math.max(0, 0.8125 - 2.6 * (lambda - 1.25));
}

/** Indicated torque [Nm] from the dry air drawn [g/s], before spark and mixture take their share; thin, diluted charges burn slowly and badly. */
export function idealTorqueNm(engine: EnginePlant, fuel: FuelPlant, dryAirGps: number, rpm: number): number {
  const share = filling((dryAirGps * 120) / (engine.cylinders * rpm), engine.displacementL / engine.cylinders);
  const efficiency = engine.indicatedEfficiency * (1 - 0.2 * Math.exp(-rpm / 1300)) * (1 - 0.3 * Math.exp(-share / 0.15));
  return ((dryAirGps / fuel.stoich) * fuel.heatingKjPerG * 1000 * efficiency) / ((rpm * Math.PI) / 30);
}

/**
 * Friction and accessories as torque [Nm]; cold oil raises it.
 * Mean effective pressure 75 + 11 n + 4.2 n² kPa, n in 1000/min, of the form in heywood-1988 ch. 13 (from memory, pumping taken out).
 */
export function frictionNm(engine: EnginePlant, rpm: number, oilC: number): number {
  const n = rpm / 1000;
  const kpa = (75 + 11 * n + 4.2 * n * n) * engine.frictionScale * (1 + 1.15 * Math.exp(-(oilC + 20) / 38));
  return (kpa * engine.displacementL) / (4 * Math.PI);
}

/** Torque of gas exchange [Nm]: exhaust against manifold pressure, and flow losses in the valves. @source PH-18 (mean effective pressure), heywood-1988 (from memory) */
export function pumpingNm(engine: EnginePlant, rpm: number, mapKpa: number, exhaustKpa: number): number {
  const n = rpm / 1000;
  return ((exhaustKpa - mapKpa + 1.1 * n * n) * engine.displacementL) / (4 * Math.PI);
}

/** Advance at which this engine begins to knock [deg], at 25 °C intake air. */
export function knockLimitDeg(engine: EnginePlant, rpm: number, fillingShare: number, intakeC: number): number {
  return factoryKnockDeg(engine, rpm, fillingShare) + engine.knockMarginDeg - 0.09 * (intakeC - 25);
}

/** The advance that the factory allowed against knock [deg]. @source PH-19 (trend); figures common practice */
export function factoryKnockDeg(engine: EnginePlant, rpm: number, fillingShare: number): number {
  const n = rpm / 1000;
  return (
    38 -
    30 * (fillingShare - 0.25) +
    10 * Math.max(0, fillingShare - 0.7) ** 1.5 -
    1.6 * (engine.compressionRatio - 9.5) +
    1.9 * (n - 2) -
    0.12 * (n - 2) ** 2 -
    (engine.turbo ? 1.5 : 0)
  );
}
