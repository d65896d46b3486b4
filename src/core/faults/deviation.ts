/**
 * By how much a vehicle differs, at one operating point, from what its calibration and its sensors say. A fault states these; what they do to each
 * residual is worked out once, in `residualUnder`. Left out: no difference.
 */
export interface Deviation {
  /** ln(what the meter reports / air that passes it). */
  readonly meterLn?: number;
  /** Air that enters after the meter [g/s]; negative where boost blows it out. */
  readonly leakGps?: number;
  /** ln(cylinders' air / air by the VE table at true manifold pressure). */
  readonly cylinderLn?: number;
  /** ln(fuel delivered / fuel that the controller reckoned with). */
  readonly fuelLn?: number;
  /** ln(λ at the sensor / λ in the cylinders). */
  readonly lambdaLn?: number;
  /** Opening of the throttle beyond what its position promises [mm² effective]. */
  readonly throttleMm2?: number;
  /** Reported less true manifold pressure [kPa]. */
  readonly mapKpa?: number;
  /** Half the difference of the banks: bank 1 by this much more than the mean, bank 2 by this much less [ln]. */
  readonly bankLn?: number;
  /** ln(true / entered displacement): touches only what is computed here, not what the controller does. */
  readonly displacementLn?: number;
  /** Air that the engine needs at idle beyond the base table's [g/s]. */
  readonly idleNeedGps?: number;
  /** ln(stoichiometric ratio of the table / that of the fuel). */
  readonly stoichLn?: number;
}

/** Which residual a point belongs to. */
export type ResidualChannel = "fuel" | "model" | "throttle" | "idle" | "idle-need" | "map-at-rest" | "map-at-full-load" | "bank";

export const CHANNEL_UNITS: Readonly<Record<ResidualChannel, string>> = {
  fuel: "ln",
  model: "ln",
  throttle: "mm²",
  idle: "g/s",
  "idle-need": "g/s",
  "map-at-rest": "kPa",
  "map-at-full-load": "kPa",
  bank: "ln",
};

/** Where the engine ran when a residual was seen: means over the samples of one bin. NaN where not known. */
export interface OperatingPoint {
  readonly rpm: number;
  readonly mapKpa: number;
  readonly baroKpa: number;
  readonly iatK: number;
  /** Air into the engine as best known: the meter's, else by speed and density [g/s]. */
  readonly airflowGps: number;
  /** Fuel flow commanded [g/s]. */
  readonly fuelGps: number;
  /** Commanded pulse width, and the part of it beyond the table's dead time: as logged, else worked out from airflow and tables [ms]. */
  readonly pulseMs: number;
  readonly openMs: number;
  readonly batteryV: number;
  readonly throttlePercent: number;
  /** Effective opening that the area curve gives at the throttle's position [mm²], and its slope [mm² per %]. */
  readonly throttleMm2: number;
  readonly throttleSlopeMm2: number;
  /** Flow through one mm² between ambient and manifold [g/s per mm²]; negative under boost. */
  readonly leakGpsPerMm2: number;
  /** d ln(flow number)/d ln(manifold pressure) of that flow, 0 when sonic. */
  readonly fluxSlope: number;
  /** d ln(speed-density air)/d ln(manifold pressure): 1 + the VE table's own slope. */
  readonly densitySlope: number;
  /** Whether the controller took the meter's air, 0–1. */
  readonly meterShare: number;
  readonly closedLoopShare: number;
  /** Idle airflow commanded [g/s]; NaN off idle. */
  readonly commandedGps: number;
  /** Whether the airflow stands on the meter (else on speed and density). */
  readonly airIsMetered: boolean;
  /** Bank whose mixture the fuel residual tells: 1, 2, or 0 for the mean. */
  readonly bank: 0 | 1 | 2;
}

/**
 * Value that a residual takes at a point under a deviation, exact in the deviation (not linearised); 0 without one.
 *
 * fuel: ln(true air / used air) − ln(true fuel / reckoned fuel) + ln(λ seen / λ true) + ln(table's stoich / fuel's)
 * model: ln(metered / speed-density air); throttle: metered flow in mm² less the curve's; idle: metered less commanded flow.
 *
 * @source formula-sheet; PH-01, PH-03, PH-05, PH-11, PH-12
 */
export function residualUnder(channel: ResidualChannel, at: OperatingPoint, by: Deviation): number {
  const meterLn = by.meterLn ?? 0;
  const leakLn = Math.log1p(-leakShareOf(at, by.leakGps ?? 0));
  const cylinderLn = by.cylinderLn ?? 0;
  const pressureLn = pressureErrorLn(at, by.mapKpa ?? 0);
  switch (channel) {
    case "fuel": {
      const overMeter = -leakLn - meterLn;
      const overDensity = cylinderLn - at.densitySlope * pressureLn;
      const bankLn = at.bank === 1 ? (by.bankLn ?? 0) : at.bank === 2 ? -(by.bankLn ?? 0) : 0;
      return at.meterShare * overMeter + (1 - at.meterShare) * overDensity - (by.fuelLn ?? 0) + (by.lambdaLn ?? 0) + (by.stoichLn ?? 0) + bankLn;
    }
    case "model":
      return meterLn + leakLn + cylinderLn - at.densitySlope * pressureLn + (by.displacementLn ?? 0);
    case "throttle":
      return (at.throttleMm2 + (by.throttleMm2 ?? 0)) * seenFlowFactor(at, by, { meterLn, leakLn, cylinderLn, pressureLn }) - at.throttleMm2;
    case "idle": {
      const addedGps = (by.throttleMm2 ?? 0) * Math.max(0, at.leakGpsPerMm2);
      // The commanded flow is the controller's own figure: an error of the pressure reading does not enter it.
      return (at.commandedGps + addedGps) * seenFlowFactor(at, by, { meterLn, leakLn, cylinderLn, pressureLn, pressureInFlux: 0 }) - at.commandedGps;
    }
    case "idle-need": {
      const addedGps = (by.throttleMm2 ?? 0) * Math.max(0, at.leakGpsPerMm2);
      return (by.idleNeedGps ?? 0) - addedGps - (by.leakGps ?? 0);
    }
    case "map-at-rest":
    case "map-at-full-load":
      return by.mapKpa ?? 0;
    case "bank":
      return 2 * (by.bankLn ?? 0);
  }
}

/** Share of the cylinders' air that the leak is: the meter misses it, speed and density sees it. */
function leakShareOf(at: OperatingPoint, leakGps: number): number {
  if (leakGps === 0) return 0;
  const cylindersGps = at.airIsMetered ? at.airflowGps + leakGps : at.airflowGps;
  return Math.max(-0.9, Math.min(0.9, leakGps / Math.max(cylindersGps, 0.1 * at.airflowGps)));
}

function pressureErrorLn(at: OperatingPoint, biasKpa: number): number {
  return biasKpa === 0 || Number.isNaN(at.mapKpa) ? 0 : Math.log(at.mapKpa / Math.max(at.mapKpa - biasKpa, 0.3 * at.mapKpa));
}

/** Flow seen by the meter, or by speed and density where there is none, over the flow through the throttle. */
function seenFlowFactor(
  at: OperatingPoint,
  by: Deviation,
  ln: { meterLn: number; leakLn: number; cylinderLn: number; pressureLn: number; pressureInFlux?: number },
): number {
  const overFlux = (ln.pressureInFlux ?? 1) * -at.fluxSlope * ln.pressureLn;
  if (at.airIsMetered) return Math.exp(ln.meterLn + overFlux);
  return Math.exp(-ln.leakLn - ln.cylinderLn + at.densitySlope * ln.pressureLn - (by.displacementLn ?? 0) + overFlux);
}

/** One deviation on top of another: openings, pressures and logarithms add. */
export function plus(a: Deviation, b: Deviation): Deviation {
  const sum: Record<string, number> = { ...a };
  for (const [name, value] of Object.entries(b)) sum[name] = (sum[name] ?? 0) + value;
  return sum;
}
