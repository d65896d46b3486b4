import { controllerStoich, injectorDeadTimeMs, injectorFlowGps } from "../../controller/index.ts";
import { effectivePulseMs, fuelPerCylinderMg } from "../../physics/index.ts";
import type { Observations } from "../../residuals/index.ts";
import type { Intake } from "../../result/index.ts";
import type { Calibration } from "../../tables/index.ts";

/** Means over spans of about a second in which fuel residual and pulse width are both known, shape (n) each. */
export interface InjectorSamples {
  readonly n: number;
  readonly fuelLn: Float64Array;
  /** ln(metered / speed-density air); NaN where either is missing. */
  readonly modelLn: Float64Array;
  /** Time for which the injector passes fuel by the tables [ms]. */
  readonly openMs: Float64Array;
  readonly batteryV: Float64Array;
  readonly vacuumKpa: Float64Array;
  readonly rpm: Float64Array;
  /** Manifold pressure over ambient. */
  readonly loadFraction: Float64Array;
  readonly airflowGps: Float64Array;
  readonly usesMeter: Float64Array;
  /** 0 warm, −1 at 50 °C below warm. */
  readonly coldness: Float64Array;
  readonly weight: Float64Array;
}

const SPAN_S = 1;
const LEAST_SHARE = 0.3;
const WARM_ECT_C = 85;
const USUAL_BATTERY_V = 14;
/** Below this pulse injectors are not linear: what they pass no longer follows flow and dead time [ms]. Common practice, no published source. */
const LINEAR_FROM_MS = 0.5;

const COLUMNS = ["fuelLn", "openMs", "batteryV", "vacuumKpa", "rpm", "loadFraction", "airflowGps", "coldness"] as const;
type Column = (typeof COLUMNS)[number];

/**
 * Steady spans of all recordings. The pulse width logged is the first bank's; the mixture may be measured on the other: its pulse differs
 * by the difference of the trims.
 */
export function injectorSamples(observations: readonly Observations[], calibration: Calibration, intake: Intake): InjectorSamples {
  const rows = Object.fromEntries([...COLUMNS, "modelLn", "usesMeter", "weight"].map((name) => [name, [] as number[]])) as Rows;
  for (const o of observations) {
    const step = Math.max(1, Math.round(SPAN_S / o.dtS));
    for (let from = 0; from + step <= o.n; from += step) {
      const span = meanOf(o, { calibration, intake }, from, from + step);
      if (span === undefined) continue;
      for (const name of COLUMNS) rows[name].push(span.values[name]);
      rows.modelLn.push(span.modelLn);
      rows.usesMeter.push(o.usesMeter[from]!);
      rows.weight.push(span.weight);
    }
  }
  const columns = Object.fromEntries(Object.entries(rows).map(([name, values]) => [name, Float64Array.from(values)])) as Record<keyof Rows, Float64Array>;
  return { n: rows.weight.length, ...columns };
}

type Rows = Record<Column | "modelLn" | "usesMeter" | "weight", number[]>;

function meanOf(o: Observations, known: Known, from: number, to: number): { values: Record<Column, number>; modelLn: number; weight: number } | undefined {
  const sums = Object.fromEntries(COLUMNS.map((name) => [name, 0])) as Record<Column, number>;
  let weight = 0;
  let modelSum = 0;
  let modelWeight = 0;
  for (let i = from; i < to; i++) {
    const steady = o.steadiness[i]!;
    if (!(steady > 0) || o.usesMeter[i] !== o.usesMeter[from]) continue;
    const sample = sampleAt(o, known, i);
    if (sample === undefined) continue;
    for (const name of COLUMNS) sums[name] += steady * sample[name];
    weight += steady;
    if (Number.isNaN(o.modelResidual[i]!)) continue;
    modelSum += steady * o.modelResidual[i]!;
    modelWeight += steady;
  }
  const share = weight / (to - from);
  if (!(share >= LEAST_SHARE)) return undefined;
  for (const name of COLUMNS) sums[name] /= weight;
  const warmth = Math.max(0, 1 + sums.coldness);
  return { values: sums, modelLn: modelWeight >= 0.5 * weight ? modelSum / modelWeight : Number.NaN, weight: share * Math.max(0.05, warmth * warmth) };
}

interface Known {
  readonly calibration: Calibration;
  readonly intake: Intake;
}

function sampleAt(o: Observations, known: Known, i: number): Record<Column, number> | undefined {
  const batteryV = o.batteryV[i]! > 5 ? o.batteryV[i]! : USUAL_BATTERY_V;
  const vacuumKpa = o.baroKpa[i]! - o.mapKpa[i]!;
  const openMs = openTimeMs(o, known, i, { batteryV, vacuumKpa });
  const ectC = o.ectC[i]!;
  const coldness = Number.isNaN(ectC) ? 0 : Math.max(-1, Math.min(0, (ectC - WARM_ECT_C) / 50));
  const sample = {
    fuelLn: o.fuelResidual[i]!,
    openMs,
    batteryV,
    vacuumKpa,
    rpm: o.rpm[i]!,
    loadFraction: o.mapKpa[i]! / o.baroKpa[i]!,
    airflowGps: o.controllerGps[i]!,
    coldness,
  };
  const isWhole = COLUMNS.every((name) => Number.isFinite(sample[name]));
  return isWhole && openMs > LINEAR_FROM_MS && sample.rpm > 400 && sample.airflowGps > 0 ? sample : undefined;
}

/** By the pulse that was logged; where none was, by the air and mixture that the controller reckoned with. */
function openTimeMs(o: Observations, { calibration, intake }: Known, i: number, at: { batteryV: number; vacuumKpa: number }): number {
  const trim = o.trimLn[i]!;
  if (o.injMs[i]! > 0) {
    const bank = trim - o.trim1Ln[i]!;
    return (o.injMs[i]! - injectorDeadTimeMs(calibration, at.batteryV, at.vacuumKpa)) * Math.exp(Number.isFinite(bank) ? bank : 0);
  }
  const airG = (o.controllerGps[i]! * 120) / (o.rpm[i]! * intake.engine.cylinders);
  const fuelMg = fuelPerCylinderMg(airG, { afrStoich: controllerStoich(calibration), lambda: o.lambdaTarget[i]! });
  return effectivePulseMs(fuelMg * Math.exp(trim), injectorFlowGps(calibration, at.vacuumKpa));
}
