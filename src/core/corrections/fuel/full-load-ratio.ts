import type { Observations } from "../../residuals/index.ts";
import { robustSd } from "../../statistics/index.ts";
import { lookUp, lookUpCurve, type Table, withCells } from "../../tables/index.ts";
import { fitCurve } from "../curve-fit.ts";
import { type CellChange, type CorrectionInput, defineCorrection, type SharedFits } from "../define.ts";
import { findingOf, referenceCells } from "../from-findings.ts";

/** Leanest equivalence ratio of sustained full load, without boost and with it: lambda 0.92 and 0.88. @source RT-02, RT-03 */
const LEAST_RATIO = { aspirated: 1 / 0.92, boosted: 1 / 0.88 } as const;
/** Below this speed full load does not last. Common practice, no published source. */
const SUSTAINED_RPM = 1100;
/** Full load: manifold near ambient, and a target that is not stoichiometric. */
const FULL_LOAD_SHARE = 0.9;
const ENRICHED_LAMBDA = 0.97;
const LEAST_SECONDS = 4;
/** Mixture leaner than asked by less than this is left alone: sensors and delay are no better (ln). Common practice, no published source. */
const LEAST_SHORTFALL_LN = 0.02;
const CLEAR = 3;
const LEVEL_SD = 0.06;
/** Most that one round may enrich on measured lambda. */
const LARGEST_LN = 0.08;

export default defineCorrection({
  id: "fuel.full-load-ratio",
  title: "Full-load mixture, rich before lean",
  writes: "fuel.full-load-ratio",
  needs: ["fuel.full-load-ratio"],
  observationsNeeded: "Full load in open loop with measured lambda, over the speeds where it is used. A table that asks for too lean a mixture needs none.",
  why: "At full load nothing corrects the mixture, and lean is what breaks engines: what is asked for must be rich enough, and what arrives must be what was asked for.",
  heldBy: ["fuel.delivery-low", "exhaust.leak-ahead-of-sensor", "sensor.map-bias", "fuel.injector-flow-mismatch", "fuel.injector-dead-time-mismatch"],
  largestStep: Number.POSITIVE_INFINITY,
  sources: ["RT-02", "RT-03", "heywood-1988", "common-practice"],
  compute(input) {
    const table = input.table["fuel.full-load-ratio"]!;
    const asked = richEnough(table, input);
    if (asked !== undefined) return { change: asked };
    const measured = leanerThanAsked(table, input, input.shared);
    return measured === undefined ? {} : { change: measured };
  },
});

/** The table asks for too lean a mixture: back to the factory's where that is richer, and to the leanest that sustained full load bears. */
function richEnough(table: Table, input: CorrectionInput): CellChange | undefined {
  if (findingOf(input, "fuel.full-load-too-lean") === undefined) return undefined;
  const factory = referenceCells(input, "fuel.full-load-ratio", table);
  const least = input.intake.engine.boosted === true ? LEAST_RATIO.boosted : LEAST_RATIO.aspirated;
  const cells = table.cells.map((cell, k) => {
    const isSustained = table.x === undefined || table.x.values[k]! >= SUSTAINED_RPM;
    return Math.max(cell, factory?.[k] ?? 0, isSustained ? least : 0);
  });
  const none = new Float64Array(cells.length);
  return {
    cells,
    sd: none.map(() => 0.01),
    sdKind: "relative",
    coverage: none,
    why: `The table asks for less than lambda ${(1 / least).toFixed(2)} bears at sustained full load: ${factory === undefined ? "those cells go to that limit" : "cells leaner than the factory's go back to it, and all at least to that limit"}; no cell is leaned. Do not run full load before it is entered.`,
  };
}

/** What arrives is leaner than what was asked for, after the air tables are corrected: ask for more. Never for less. */
function leanerThanAsked(table: Table, input: CorrectionInput, shared: SharedFits): CellChange | undefined {
  if (table.x === undefined || input.intake.sensors?.widebandFitted === false) return undefined;
  const at: number[] = [];
  const ln: number[] = [];
  const weight: number[] = [];
  let dtS = 0.1;
  for (const o of input.observations) {
    const airLn = correctedAirLn(o, input, shared);
    dtS = o.dtS;
    for (let i = 0; i < o.n; i++) {
      const isFull = o.closedLoop[i] === 0 && o.lambdaTarget[i]! < ENRICHED_LAMBDA && o.mapKpa[i]! > FULL_LOAD_SHARE * o.baroKpa[i]!;
      const left = o.fuelResidual[i]! - airLn(i);
      if (!isFull || !(o.steadiness[i]! > 0.2) || !Number.isFinite(left) || !(o.rpm[i]! > SUSTAINED_RPM)) continue;
      at.push(o.rpm[i]!);
      ln.push(left);
      weight.push(o.steadiness[i]!);
    }
  }
  if (at.length * dtS < LEAST_SECONDS) return undefined;
  const fit = fitCurve(table.x.values, { at, ln, weight, sd: Math.max(0.01, robustSd(ln)), perIndependent: 1 / dtS }, LEVEL_SD);
  const lean = fit.ln.map((v, k) => (fit.coverage[k]! >= 1 && v > Math.max(LEAST_SHORTFALL_LN, CLEAR * fit.sd[k]!) ? Math.min(v, LARGEST_LN) : 0));
  if (lean.every((v) => v === 0)) return undefined;
  return {
    cells: table.cells.map((cell, k) => cell * Math.exp(lean[k]!)),
    sd: fit.sd,
    sdKind: "relative",
    coverage: fit.coverage,
    limited: ["Speeds that came out rich stay as they are: leaning at full load is for a person to decide, in small steps."],
    why: "Measured at full load the mixture is leaner than asked for, and the corrected air tables do not explain it. Find out why (fuel pressure first); until then ask for more.",
  };
}

/** What the corrected air tables add at each sample (ln); 0 where there is no fit. */
function correctedAirLn(o: Observations, input: CorrectionInput, shared: SharedFits): (i: number) => number {
  const air = shared.air();
  const meter = input.calibration.byRole["air.meter-curve"];
  const ve = input.calibration.byRole["air.ve"];
  const newMeter = air?.samples.meter === undefined || meter === undefined ? undefined : scaled(meter, air.fit.meterLn);
  const newVe = air?.samples.ve === undefined || ve === undefined ? undefined : scaled(ve, air.fit.veLn);
  return (i) => {
    if (o.usesMeter[i] === 1) return newMeter === undefined ? 0 : Math.log(lookUpCurve(newMeter, o.mafHz[i]!) / lookUpCurve(meter!, o.mafHz[i]!));
    return newVe === undefined ? 0 : Math.log(lookUp(newVe, o.rpm[i]!, o.mapKpa[i]!) / lookUp(ve!, o.rpm[i]!, o.mapKpa[i]!));
  };
}

function scaled(table: Table, ln: Float64Array): Table {
  return withCells(
    table,
    table.cells.map((cell, k) => cell * Math.exp(ln[k]!)),
  );
}
