import { settledIdle } from "../../residuals/index.ts";
import { robustSd } from "../../statistics/index.ts";
import { lookUpCurve } from "../../tables/index.ts";
import { heldByMeter } from "../air/air-fit.ts";
import { fitCurve, valueOnCurve } from "../curve-fit.ts";
import { defineCorrection, holdingFault } from "../define.ts";
import { trueAirflow } from "./true-airflow.ts";

/** Length of the spans that make one sample [s]: an idle rolls, and its mean over a second or two is what the table means. */
const SPAN_S = 1;
const LEAST_SPANS = 8;
/** Visits, not seconds, tell how idles differ (in gear or out of it, loads on or off): one lasts about so many samples. Common practice, no published source. */
const VISIT_SAMPLES = 12;
/** Idle in gear draws half as much again: no outlier, not even where it is rare. Only nonsense is cut. */
const LEAST_SCALE = 0.3;
/** Idle air of engines of one size differs by about this (ln): common practice, no published source. */
const LEVEL_SD = 0.35;

export default defineCorrection({
  id: "idle.base-airflow",
  title: "Idle base airflow from settled idles",
  writes: "idle.base-airflow",
  needs: ["idle.base-airflow"],
  observationsNeeded: "Idles of some seconds with the vehicle standing and the pedal up, over as many coolant temperatures as possible.",
  why: "The idle controller starts from this air; what it has to learn beyond it is missing after the memory was cleared, and in every restart until it has learned.",
  heldBy: ["air.throttle-overflow", "air.throttle-restricted", "air.unmetered-leak"],
  largestStep: 0.35,
  sources: ["common-practice", "rasmussen-williams-2006"],
  compute(input) {
    const base = input.table["idle.base-airflow"]!;
    if (base.x === undefined) return { couldNot: "idle.base-airflow was not corrected: it is no curve over coolant temperature" };
    const at: number[] = [];
    const share: number[] = [];
    for (const o of input.observations) {
      const settled = settledIdle(o);
      const air = trueAirflow(o, input, input.shared);
      const step = Math.max(1, Math.round(SPAN_S / o.dtS));
      for (let from = 0; from + step <= o.n; from += step) {
        let sum = 0;
        let count = 0;
        for (let i = from; i < from + step; i++) {
          if (settled[i] !== 1 || !(air.gps[i]! > 0)) continue;
          sum += air.gps[i]!;
          count++;
        }
        const ectC = o.ectC[from]!;
        if (count < 0.8 * step || Number.isNaN(ectC)) continue;
        at.push(ectC);
        share.push(sum / count / lookUpCurve(base, ectC) - 1);
      }
    }
    if (at.length < LEAST_SPANS) return { couldNot: "idle.base-airflow was not corrected: the recordings hold too little settled idle" };
    // Neighbouring seconds tell the noise; what lies between visits (in gear or out of it) is spread, and widens the deviation below.
    const steps = Float64Array.from(share, (value, i) => (i === 0 ? Number.NaN : value - share[i - 1]!)).filter((step) => !Number.isNaN(step));
    const noise = Math.max(0.02, robustSd(steps) / Math.SQRT2);
    const fit = fitCurve(
      base.x.values,
      { at, ln: share, weight: new Float64Array(at.length).fill(1), sd: noise, perIndependent: 4, leastScale: LEAST_SCALE },
      LEVEL_SD,
    );
    const curve = base.x.values;
    const spread = robustSd(Float64Array.from(share, (value, i) => value - valueOnCurve(curve, fit.ln, at[i]!)));
    const air = input.shared.air();
    const heldBecause = air === undefined ? holdingFault(input.suspects, ["air.meter-low", "air.meter-high"]) : heldByMeter(air, input);
    return {
      change: {
        ...(heldBecause === undefined ? {} : { heldBecause }),
        cells: base.cells.map((cell, k) => cell * (1 + Math.max(-0.9, fit.ln[k]!))),
        sd: fit.sd.map((sd, k) => Math.hypot(sd, spread / Math.sqrt(1 + fit.coverage[k]! / VISIT_SAMPLES))),
        sdKind: "relative",
        coverage: fit.coverage,
        why: `Air that the engine drew in ${at.length} s of settled idle, by coolant temperature; temperatures not seen follow the shape of the table.`,
      },
    };
  },
});
