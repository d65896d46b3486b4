import { median } from "../../../base/index.ts";
import { curve } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";
import { plain, signedPercent } from "../words.ts";

/** Halfway between a flat table and the square-root law. */
const HALFWAY = 0.25;
const USUAL_RAIL_KPA = 350;

const vacuum = [0, 20, 40, 60, 80];
const rising = [4, 4.099, 4.195, 4.29, 4.382];
const flat = [4, 4, 4, 4, 4];
const atmosphere = { fuel: { railPressureKpa: 400, railReference: "atmosphere" as const } };
const manifold = { fuel: { railPressureKpa: 400, railReference: "manifold" as const } };

export default defineCheck({
  id: "fuel.injector-flow-shape",
  title: "Injector flow table and rail contradict each other",
  severity: "fix",
  needs: ["fuel.injector-flow"],
  why: "On a rail of constant gauge pressure the pressure across the injector rises with manifold vacuum, and flow with its square root: at 60 kPa vacuum and 400 kPa it is 7 % more than at none. Where the regulator follows the manifold the difference is constant and the table must be flat. The wrong shape makes idle and cruise wrong by that much while full load is right.",
  do: "Find out which rail is fitted, then give the table its shape: flow at no vacuum times √((rail + vacuum)/rail), or one value throughout.",
  severityRule: "fix always",
  sources: ["PH-04", "RT-09", "heywood-1988"],
  examples: {
    fires: [
      { title: "flat table on a constant gauge rail", tables: [curve("fuel.injector-flow", "g/s", vacuum, flat)], intake: atmosphere },
      { title: "rising table on a rail that follows the manifold", tables: [curve("fuel.injector-flow", "g/s", vacuum, rising)], intake: manifold },
    ],
    silent: [
      { tables: [curve("fuel.injector-flow", "g/s", vacuum, rising)], intake: atmosphere },
      { tables: [curve("fuel.injector-flow", "g/s", vacuum, flat)], intake: manifold },
    ],
  },
  lacks: ({ intake }) => (intake.fuel?.railReference === undefined ? "the intake does not say what the rail pressure refers to" : undefined),
  run({ table, intake }) {
    const flow = table["fuel.injector-flow"];
    const vacuumKpa = flow.x?.values;
    if (vacuumKpa === undefined || vacuumKpa.length < 2 || flow.cells.some((q) => !(q > 0))) return [];
    const railKpa = intake.fuel?.railPressureKpa ?? USUAL_RAIL_KPA;
    const exponent = exponentOf(vacuumKpa, flow.cells, railKpa);
    if (Number.isNaN(exponent)) return [];
    const isManifold = intake.fuel!.railReference === "manifold";
    if (Math.abs(exponent - (isManifold ? 0 : 0.5)) <= HALFWAY) return [];
    const [first, last] = [flow.cells[0]!, flow.cells.at(-1)!];
    const [from, to] = [vacuumKpa[0]!, vacuumKpa.at(-1)!];
    const lawful = isManifold ? 1 : Math.sqrt((railKpa + to) / (railKpa + from));
    const rail = isManifold ? "follows the manifold" : "has a constant gauge pressure";
    return [
      {
        summary: `The rail ${rail}, but the injector flow table ${Math.abs(exponent) < HALFWAY ? "is flat" : exponent < 0 ? "falls with vacuum" : "rises with vacuum"}`,
        because: [
          `${flow.title} from ${plain(from)} to ${plain(to)} kPa vacuum: ${signedPercent(last / first)}; this rail asks for ${lawful === 1 ? "no change" : signedPercent(lawful)}`,
          `flow goes as pressure to the power ${plain(exponent, 2)}; 0.5 on a constant gauge rail, 0 on one that follows the manifold`,
          ...(intake.fuel?.railPressureKpa === undefined ? [`rail pressure not stated; ${USUAL_RAIL_KPA} kPa assumed`] : []),
        ],
      },
    ];
  },
});

/** Power of the pressure across the injector that the table follows: median of the slopes between all pairs of breakpoints far enough apart. */
function exponentOf(vacuumKpa: Float64Array, flowGps: Float64Array, railKpa: number): number {
  const slopes: number[] = [];
  const span = vacuumKpa.at(-1)! - vacuumKpa[0]!;
  for (let i = 0; i < vacuumKpa.length; i++)
    for (let j = i + 1; j < vacuumKpa.length; j++) {
      const [low, high] = [railKpa + vacuumKpa[i]!, railKpa + vacuumKpa[j]!];
      if (low <= 0 || vacuumKpa[j]! - vacuumKpa[i]! < 0.4 * span) continue;
      slopes.push(Math.log(flowGps[j]! / flowGps[i]!) / Math.log(high / low));
    }
  return median(slopes);
}
