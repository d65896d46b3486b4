import { airPerCylinderG, injectorFlowGps } from "../../physics/index.ts";
import { cylinderL } from "../../result/index.ts";
import { curve, lookUp, lookUpCurve, single } from "../../tables/index.ts";
import { type CheckHit, type CheckRun, defineCheck } from "../define.ts";
import { areInjectorsOriginal } from "../facts.ts";
import { plain, signedPercent } from "../words.ts";

const LARGEST_DUTY = 0.85;
/** Flow over what full load needs: factory injectors lie near one; three times as much is seen on large replacements, never by accident less than 0.6. */
const BELIEVABLE = { least: 0.62, mostOriginal: 1.9, most: 3 } as const;
const ORIGINAL_FACTORS = { least: 0.9, most: 1.1 } as const;
const RATED_FACTORS = { least: 0.85, most: 1.15 } as const;
/** RT-11 with room for its own spread and for rails of other pressures. */
const DEAD_TIME_MS = { least: 0.4, most: 1.5 } as const;
const CHARGE_K = 315;

const flowOf = (gps: number) => curve("fuel.injector-flow", "g/s", [0, 40, 80], [gps, gps, gps]);
const six = { engine: { displacementL: 3.4, cylinders: 6 }, injectors: { label: "original" } };

export default defineCheck({
  id: "fuel.injector-flow-implausible",
  title: "Injector data cannot be this engine's",
  severity: "fix",
  needs: ["fuel.injector-flow"],
  why: "Injector flow follows from the engine: each must pass the fuel of one full-load cycle in about 85 % of its time. A table far from that is a slip of units, the wrong injectors' data, or a number bent until the trims looked right; the airflow the controller believes is then wrong by the same factor.",
  do: "Enter the flow of the injectors that are fitted, at the pressure of this rail (mass flow, not volume), and their dead time. Correct air tables only afterwards.",
  severityRule: "fix for flow; watch for dead time that is merely unusual",
  sources: ["PH-05", "PH-06", "RT-01", "RT-11", "RT-12", "common-practice"],
  examples: {
    fires: [
      { title: "half of what full load needs", tables: [flowOf(1.36)], intake: six },
      { title: "pounds an hour typed as grams a second", tables: [flowOf(21.6)], intake: six },
      { title: "factory injectors, flow bent by 25 %", tables: [flowOf(3.4)], reference: [flowOf(2.72)], intake: six },
      { title: "no dead time", tables: [flowOf(2.72), curve("fuel.injector-dead-time", "ms", [8, 12, 14, 16], [0, 0, 0, 0])], intake: six },
    ],
    silent: [
      { tables: [flowOf(2.72), curve("fuel.injector-dead-time", "ms", [8, 12, 14, 16], [1.8, 1.1, 0.9, 0.75])], reference: [flowOf(2.72)], intake: six },
      {
        title: "injectors replaced",
        tables: [flowOf(3.4)],
        reference: [flowOf(2.72)],
        intake: { ...six, injectors: { label: "unmarked" }, changes: ["injectors replaced"] },
      },
      { tables: [flowOf(2.72), single("limit.engine-speed", "rpm", 6600)], intake: six },
    ],
  },
  run(input) {
    const flow = [againstReference(input), againstNeed(input), againstRating(input)].filter((hit) => hit !== undefined);
    const merged: CheckHit[] =
      flow.length === 0 ? [] : [{ tables: [input.table["fuel.injector-flow"].title], summary: flow[0]!.summary, because: flow.flatMap((hit) => hit.because) }];
    return [...merged, ...deadTime(input)];
  },
});

/** Flow at no vacuum, where full load is. */
function flowAtFullLoadGps({ table }: CheckRun): number {
  return lookUpCurve(table["fuel.injector-flow"], 0);
}

/** Largest flow that one injector needs at full load [g/s], over the speeds where power is made. */
function neededGps({ calibration, intake }: CheckRun): number {
  const { boosted } = intake.engine;
  const ve = calibration.byRole["air.ve"];
  const afr = calibration.byRole["fuel.stoich"]?.cells[0] ?? 14.1;
  const limitRpm = Math.min(7500, calibration.byRole["limit.engine-speed"]?.cells[0] ?? 6200);
  const topKpa = Math.min(boosted === true ? 200 : 98, ve?.y?.values.at(-1) ?? Number.POSITIVE_INFINITY);
  let most = 0;
  for (let rpm = 3000; rpm <= Math.max(3000, limitRpm - 400); rpm += 250) {
    const veFraction = ve?.x === undefined || ve.y === undefined ? 0.9 - (0.12 * Math.max(0, rpm - 5000)) / 1500 : lookUp(ve, rpm, topKpa) / 100;
    const airG = airPerCylinderG({ veFraction, mapKpa: boosted === true ? topKpa : Math.min(98, topKpa), chargeK: CHARGE_K, cylinderL: cylinderL(intake) });
    const openS = (LARGEST_DUTY * 120) / rpm;
    most = Math.max(most, ((airG / afr) * (boosted === true ? 1.22 : 1.14)) / openS);
  }
  return most;
}

function againstNeed(input: CheckRun): CheckHit | undefined {
  const { intake } = input;
  const [flow, need] = [flowAtFullLoadGps(input), neededGps(input)];
  const ratio = flow / need;
  const most = areInjectorsOriginal(intake) ? BELIEVABLE.mostOriginal : BELIEVABLE.most;
  if (ratio >= BELIEVABLE.least && ratio <= most) return undefined;
  const because = [
    `${plain(intake.engine.displacementL)} L on ${intake.engine.cylinders} cylinders needs about ${plain(need)} g/s from each injector at full load and ${LARGEST_DUTY * 100} % duty; the table says ${plain(flow)} g/s`,
  ];
  for (const [factor, words] of [
    [3600 / 453.59237, "pounds an hour typed as g/s"],
    [60 / 0.745, "cm³/min typed as g/s"],
  ] as const)
    if (Math.abs(Math.log(ratio / factor)) < 0.4) because.push(`the factor of ${plain(ratio)} fits ${words}`);
  return { summary: `Injector flow of ${plain(flow)} g/s is ${plain(ratio, 2)} times what this engine needs at full load`, because };
}

function againstReference(input: CheckRun): CheckHit | undefined {
  const reference = input.referenceTable["fuel.injector-flow"];
  if (reference === undefined || !areInjectorsOriginal(input.intake)) return undefined;
  const factor = flowAtFullLoadGps(input) / lookUpCurve(reference, 0);
  if (factor >= ORIGINAL_FACTORS.least && factor <= ORIGINAL_FACTORS.most) return undefined;
  return {
    summary: `The injectors are the factory's, but their flow differs from the factory's table by ${signedPercent(factor)}`,
    because: [
      `${plain(flowAtFullLoadGps(input))} g/s as received, ${plain(lookUpCurve(reference, 0))} g/s from the factory; the intake calls the injectors "${input.intake.injectors?.label}"`,
    ],
  };
}

function againstRating(input: CheckRun): CheckHit | undefined {
  const { ratedFlowGps, ratedPressureKpa } = input.intake.injectors ?? {};
  const railKpa = input.intake.fuel?.railPressureKpa;
  if (ratedFlowGps === undefined || ratedPressureKpa === undefined || railKpa === undefined) return undefined;
  const rated = injectorFlowGps(ratedFlowGps, { acrossKpa: railKpa, ratedKpa: ratedPressureKpa });
  const factor = flowAtFullLoadGps(input) / rated;
  if (factor >= RATED_FACTORS.least && factor <= RATED_FACTORS.most) return undefined;
  return {
    summary: `The flow table differs from the injectors' rating by ${signedPercent(factor)}`,
    because: [
      `rated ${plain(ratedFlowGps)} g/s at ${plain(ratedPressureKpa)} kPa, which is ${plain(rated)} g/s at ${plain(railKpa)} kPa; the table says ${plain(flowAtFullLoadGps(input))} g/s`,
    ],
  };
}

function deadTime({ calibration }: CheckRun): CheckHit[] {
  const table = calibration.byRole["fuel.injector-dead-time"];
  if (table === undefined) return [];
  const at = (volts: number): number => lookUp(table, volts, table.y?.values[0] ?? 0);
  const ms = at(14);
  const falls = at(9) > at(15);
  if (ms >= DEAD_TIME_MS.least && ms <= DEAD_TIME_MS.most && falls) return [];
  return [
    {
      severity: ms <= 0.05 || !falls ? "fix" : "watch",
      tables: [table.title],
      summary:
        ms >= DEAD_TIME_MS.least && ms <= DEAD_TIME_MS.most
          ? "Injector dead time does not grow as voltage falls"
          : `Injector dead time of ${plain(ms)} ms at 14 V is outside 0.5 to 1.3 ms`,
      because: [`${table.title}: ${plain(at(9))} ms at 9 V, ${plain(ms)} ms at 14 V, ${plain(at(15))} ms at 15 V; about double near 9 V is usual`],
    },
  ];
}
