import { curve } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";
import { counted, plain, where } from "../words.ts";

const LEANEST = { aspirated: 0.92, boosted: 0.88 } as const;
/** Leaner than this an engine is hurt at sustained full load, boosted or not. */
const DANGEROUS_ASPIRATED = 0.97;
/** Below this speed full load does not last. */
const SUSTAINED_RPM = 1100;
const ROUNDING = 0.003;

const rpm = [800, 2400, 4000, 5600];
const boosted = { engine: { displacementL: 2, cylinders: 4, boosted: true } };

export default defineCheck({
  id: "fuel.full-load-too-lean",
  title: "Mixture at full load too lean",
  severity: "fix",
  needs: ["fuel.full-load-ratio"],
  why: "Best torque lies near lambda 0.86 to 0.94, and the richer mixture cools charge, piston and exhaust valve. Leaner than 0.92 at sustained full load without boost, or 0.88 with it, runs hot and knocks: it can cost the engine before it is noticed.",
  do: "Enrich the full-load table before the next full-load run. Do not run pulls on it as it is.",
  severityRule: "stop with boost, or leaner than lambda 0.97 without; fix otherwise; watch where the factory's own table is as lean",
  sources: ["heywood-1988", "RT-02", "RT-03", "PH-19", "common-practice"],
  examples: {
    fires: [
      { title: "leaned without boost", tables: [curve("fuel.full-load-ratio", "equivalence ratio", rpm, [1.1, 1.06, 1.05, 1.06])] },
      {
        title: "boosted engine with a table for none",
        tables: [curve("fuel.full-load-ratio", "equivalence ratio", rpm, [1.1, 1.1, 1.12, 1.13])],
        intake: boosted,
      },
    ],
    silent: [
      { tables: [curve("fuel.full-load-ratio", "equivalence ratio", rpm, [1.1, 1.11, 1.13, 1.14])] },
      { tables: [curve("fuel.full-load-ratio", "equivalence ratio", rpm, [1.19, 1.2, 1.22, 1.25])], intake: boosted },
    ],
  },
  run({ table, referenceTable, intake }) {
    const ratio = table["fuel.full-load-ratio"];
    const speeds = ratio.x?.values;
    const limit = intake.engine.boosted === true ? LEANEST.boosted : LEANEST.aspirated;
    const lambdaAt = (i: number): number => 1 / ratio.cells[i]!;
    const lean = Array.from(ratio.cells.keys()).filter((i) => (speeds === undefined || speeds[i]! >= SUSTAINED_RPM) && !(lambdaAt(i) <= limit + ROUNDING));
    if (lean.length === 0) return [];
    const leanest = lean.reduce((a, b) => (lambdaAt(b) > lambdaAt(a) ? b : a));
    const factory = referenceTable["fuel.full-load-ratio"];
    const isFactory =
      factory !== undefined && factory.cells.length === ratio.cells.length && lean.every((i) => Math.abs(factory.cells[i]! - ratio.cells[i]!) < 1e-3);
    const isDangerous = intake.engine.boosted === true || lambdaAt(leanest) > DANGEROUS_ASPIRATED;
    return [
      {
        severity: isFactory ? "watch" : isDangerous ? "stop" : "fix",
        summary: `Full load is commanded at lambda ${plain(lambdaAt(leanest))}, leaner than ${limit} ${intake.engine.boosted === true ? "under boost" : "without boost"}`,
        because: [
          `${counted(lean.length, "cell")} leaner than lambda ${limit}: ${where(ratio, lean)}`,
          ...(factory === undefined
            ? []
            : [
                isFactory
                  ? "the factory's table is the same"
                  : `the factory has lambda ${plain(1 / (factory.cells[Math.min(leanest, factory.cells.length - 1)] ?? Number.NaN))} there`,
              ]),
          ...(intake.engine.boosted === undefined ? ["the intake does not say whether the engine is boosted; judged as one that is not"] : []),
        ],
      },
    ];
  },
});
