import { injectorFlowRatio } from "../../physics/index.ts";
import { type Table, withCells } from "../../tables/index.ts";
import { type CellChange, type CorrectionInput, defineCorrection } from "../define.ts";
import type { InjectorFit } from "./injector-fit.ts";
import { namedInjectors } from "./injector-names.ts";
import { railOf } from "./injector-sheet.ts";
import { injectorSuspicion } from "./injector-suspicion.ts";

/** A flow error smaller than parts scatter is no reason to touch the table (ln). Common practice, no published source. */
const LEAST_CHANGE_LN = 0.01;
/** How many of its own deviations an error must be worth to be believed. */
const CLEAR = 2;
/** Table and rail agree about the shape to this where the shape is left alone. */
const SHAPE_SD = 0.01;

export default defineCorrection({
  id: "fuel.injector-flow",
  title: "Injector flow from the drive and the rail",
  writes: "fuel.injector-flow",
  needs: ["fuel.injector-flow"],
  observationsNeeded:
    "Steady warm driving from idle to full load with trims, pulse width and battery voltage, and measured lambda or closed loop: short and long pulses tell flow from dead time.",
  why: "All fuel is reckoned from this flow. Other injectors, or a rail with another pressure or reference, make it wrong by one factor everywhere, and air tables bent to hide it make spark, torque and shifts wrong.",
  heldBy: [],
  largestStep: Number.POSITIVE_INFINITY,
  sources: ["PH-04", "PH-05", "common-practice", "rasmussen-williams-2006"],
  compute(input) {
    const flow = input.table["fuel.injector-flow"]!;
    if (flow.cells.some((cell) => !(cell > 0))) return { couldNot: "fuel.injector-flow was not corrected: the table holds cells of no flow" };
    const suspicion = injectorSuspicion(input);
    const shape = lawfulShape(flow, input);
    const fit = suspicion.kind === "none" ? undefined : input.shared.injectors();
    if (suspicion.kind !== "none" && fit === undefined && shape === undefined)
      return { couldNot: "fuel.injector-flow was not corrected: the recordings hold too little steady running with trims and lambda" };
    const isClear = fit !== undefined && Math.abs(fit.flowLn) > Math.max(LEAST_CHANGE_LN, CLEAR * fit.flowSdLn);
    if (!isClear && shape === undefined) return {};
    return {
      change: {
        ...named(changeOf(flow, shape, isClear ? fit : undefined), flow, input),
        ...(suspicion.kind === "behind" ? { heldBecause: suspicion.fault } : {}),
      },
    };
  },
});

function changeOf(flow: Table, shape: Float64Array | undefined, fit: InjectorFit | undefined): CellChange {
  const because: string[] = [];
  if (shape !== undefined)
    because.push("The shape over vacuum follows the square-root law for the rail that the intake names, held at no vacuum, where full load is.");
  if (fit !== undefined)
    because.push(
      `The fuel residual over pulse width asks for a flow ${percent(fit.flowLn)} (90 % interval ${percent(fit.flowLn - 1.645 * fit.flowSdLn)} to ${percent(fit.flowLn + 1.645 * fit.flowSdLn)}), the same at every airflow and by both air models: it is the injectors, not the air.`,
    );
  const factor = fit === undefined ? 1 : Math.exp(fit.flowLn);
  const sd = fit === undefined ? SHAPE_SD : Math.hypot(fit.flowSdLn, shape === undefined ? 0 : SHAPE_SD);
  return {
    cells: (shape ?? flow.cells).map((cell) => cell * factor),
    sd: new Float64Array(flow.cells.length).fill(sd),
    sdKind: "relative",
    coverage: new Float64Array(flow.cells.length).fill(fit?.effective ?? 0),
    why: because.join(" "),
  };
}

function named(change: CellChange, flow: Table, input: CorrectionInput): CellChange {
  const names = namedInjectors({ flow: withCells(flow, change.cells) }, input);
  return names === "" ? change : { ...change, why: `${change.why} ${names}` };
}

function percent(ln: number): string {
  const value = 100 * Math.expm1(ln);
  return `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)} %`;
}

/** Table with the shape of the rail named in the intake, where the inspection found that the two contradict each other. */
function lawfulShape(flow: Table, { findings, intake }: CorrectionInput): Float64Array | undefined {
  const rail = railOf(intake);
  if (rail === undefined || flow.x === undefined || !findings.some(({ check }) => check === "fuel.injector-flow-shape")) return undefined;
  // Full load lies near no vacuum: there both references give the same pressure, and the number as received was made for it.
  const vacuum = flow.x.values;
  const nearest = vacuum.reduce((best, v, k) => (Math.abs(v) < Math.abs(vacuum[best]!) ? k : best), 0);
  const atNone = flow.cells[nearest]! / injectorFlowRatio(rail, vacuum[nearest]!);
  return vacuum.map((v) => atNone * injectorFlowRatio(rail, v));
}
