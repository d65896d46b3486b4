import { firstOrderLag, type Observations, ratePerS } from "../../residuals/index.ts";
import { lookUpCurve, type Table } from "../../tables/index.ts";

/** Length of the spans that are averaged into one sample [s]: longer than a sensor's noise, shorter than a driver's foot. */
const SPAN_S = 1;
/** A span counts when at least this share of its samples does. */
const LEAST_SHARE = 0.3;

const AVERAGED = [
  "rpm",
  "mapKpa",
  "baroKpa",
  "mafHz",
  "ectC",
  "iatC",
  "injMs",
  "batteryV",
  "lambda",
  "lambdaTarget",
  "closedLoop",
  "meterGps",
  "speedDensityGps",
  "chargeK",
  "fuelResidual",
  "modelResidual",
] as const;
type AveragedName = (typeof AVERAGED)[number];

export interface Spans extends Readonly<Record<AveragedName, Float64Array>> {
  readonly n: number;
  readonly starts: readonly number[];
  /** Rate of the fuel given as the wall film remembers it [1/s], and manifold filling by one displacement as a share of the flow. */
  readonly filmRate: Float64Array;
  readonly fillingShare: Float64Array;
  readonly usesMeter: Float64Array;
  readonly steadiness: Float64Array;
}

/**
 * Means over spans of about a second, each sample counted by its steadiness. A span in which the controller changed its air
 * model is left out.
 *
 * Averaging comes before the fit for a reason: the meter's noise stands in its reading and in its frequency at once, so that
 * sample by sample a quiet idle would draw the noise itself into the meter's curve.
 */
function averaged(o: Observations, mafHz: Float64Array): Omit<Spans, "starts"> {
  const step = Math.max(1, Math.round(SPAN_S / o.dtS));
  const n = Math.floor(o.n / step);
  const columns = Object.fromEntries(AVERAGED.map((name) => [name, new Float64Array(n).fill(Number.NaN)])) as Record<AveragedName, Float64Array>;
  const usesMeter = new Float64Array(n);
  const steadiness = new Float64Array(n);
  const filmRate = new Float64Array(n);
  const fillingShare = new Float64Array(n);
  const rates = transientRates(o);
  for (let k = 0; k < n; k++) {
    const from = k * step;
    let weight = 0;
    let mixed = false;
    for (let i = from; i < from + step; i++) {
      weight += o.steadiness[i]!;
      mixed ||= o.usesMeter[i] !== o.usesMeter[from];
    }
    usesMeter[k] = mixed ? Number.NaN : o.usesMeter[from]!;
    steadiness[k] = weight / step < LEAST_SHARE ? 0 : weight / step;
    if (steadiness[k] === 0) continue;
    for (const name of AVERAGED) columns[name][k] = weightedMean(name === "mafHz" ? mafHz : o[name], o.steadiness, from, from + step);
    filmRate[k] = weightedMean(rates.film, o.steadiness, from, from + step) || 0;
    fillingShare[k] = weightedMean(rates.filling, o.steadiness, from, from + step) || 0;
  }
  return { ...columns, n, usesMeter, steadiness, filmRate, fillingShare };
}

/** The film on the port walls and the mixture on its way remember about so long [s]. @source PH-08 (common practice) */
const FILM_MEMORY_S = 0.5;
const RATE_WINDOW_S = 0.8;
const GAS_CONSTANT_KJ_KG_K = 0.28705;

/** What slow changes leave behind in a sample that still counts as steady, shape (n) each. */
function transientRates(o: Observations): { film: Float64Array; filling: Float64Array } {
  const lnFlow = o.controllerGps.map((gps) => (gps > 0 ? Math.log(gps) : Number.NaN));
  const film = firstOrderLag(ratePerS(lnFlow, o.dtS, RATE_WINDOW_S), FILM_MEMORY_S, o.dtS);
  const mapRate = ratePerS(o.mapKpa, o.dtS, RATE_WINDOW_S);
  const filling = mapRate.map((rate, i) => rate / (GAS_CONSTANT_KJ_KG_K * o.chargeK[i]! * o.meterGps[i]!));
  return { film, filling };
}

/** Mean over [from, to), NaN left out; NaN where less than half of the weight has a value. */
function weightedMean(values: Float64Array, weights: Float64Array, from: number, to: number): number {
  let sum = 0;
  let known = 0;
  let all = 0;
  for (let i = from; i < to; i++) {
    const weight = weights[i]!;
    all += weight;
    if (Number.isNaN(values[i]!)) continue;
    sum += weight * values[i]!;
    known += weight;
  }
  return known >= 0.5 * all && known > 0 ? sum / known : Number.NaN;
}

function joined(parts: readonly Omit<Spans, "starts">[]): Spans {
  const starts: number[] = [];
  let n = 0;
  for (const part of parts) {
    starts.push(n);
    n += part.n;
  }
  const join = (name: AveragedName | "usesMeter" | "steadiness" | "filmRate" | "fillingShare"): Float64Array => {
    const whole = new Float64Array(n);
    parts.forEach((part, k) => {
      whole.set(part[name], starts[k]!);
    });
    return whole;
  };
  const columns = Object.fromEntries(AVERAGED.map((name) => [name, join(name)])) as Record<AveragedName, Float64Array>;
  return {
    ...columns,
    n,
    starts,
    usesMeter: join("usesMeter"),
    steadiness: join("steadiness"),
    filmRate: join("filmRate"),
    fillingShare: join("fillingShare"),
  };
}

/** All recordings as spans, one after the other. The meter's frequency, where only its airflow was logged, is read back through the curve. */
export function spansOf(observations: readonly Observations[], meterCurve: Table | undefined): Spans {
  return joined(observations.map((o) => averaged(o, meterFrequency(o, meterCurve))));
}

/** Frequency of the meter [Hz], shape (n): as logged, else where the controller's own curve gives the airflow that was logged. */
export function meterFrequency(o: Observations, meterCurve: Table | undefined): Float64Array {
  if (meterCurve?.x === undefined || o.mafHz.some((hz) => hz > 0)) return o.mafHz;
  const hz = meterCurve.x.values;
  const flows = meterCurve.cells;
  if (!flows.every((flow, k) => k === 0 || flow > flows[k - 1]!)) return o.mafHz;
  const inverse: Table = { title: meterCurve.title, unit: "Hz", x: { name: meterCurve.title, unit: meterCurve.unit, values: flows }, cells: hz };
  return o.meterGps.map((flow) => (flow > flows[0]! ? lookUpCurve(inverse, flow) : Number.NaN));
}
