import { cylinderL } from "../../result/index.ts";
import { columnsOf, grid, resampleLike, sameAxes, type Table } from "../../tables/index.ts";
import { type CheckHit, type CheckRun, defineCheck } from "../define.ts";
import { counted, plain, where } from "../words.ts";

const LEAST_DEG = 1.5;
const FEWEST_CELLS = 2;
/** Share of the air at full load and standard conditions from which knock is to be feared. */
const HIGH_LOAD_SHARE = 0.6;
const FULL_LOAD_G_PER_L = 1.1;
/** Below this speed full load is passed through, not held. */
const DRIVEN_RPM = 900;

const rpm = [800, 2000, 3200, 4400, 5600];
const load = [0.15, 0.3, 0.45, 0.6, 0.75];
const spark = (more: number) =>
  grid(
    "spark.main",
    "deg",
    rpm,
    load,
    load.map((g) => rpm.map((n) => 38 - 30 * g + n / 1000 + (g >= 0.45 ? more : 0))),
  );
const engine = { engine: { displacementL: 5.3, cylinders: 8, compressionRatio: 10.2 } };

export default defineCheck({
  id: "spark.above-factory",
  title: "More spark advance than the factory",
  severity: "watch",
  needs: ["spark.main"],
  needsReference: ["spark.main"],
  why: "The factory's high-load spark lies where this chamber and this fuel begin to knock, or at best torque where they do not. Advance above it gains little and is paid for in knock on a hot day. Part load of an engine with another camshaft is another matter: more exhaust left in the cylinder burns slower and may want more.",
  do: "Go back to the factory's advance at high load unless recorded knock and measured torque show that more is right.",
  severityRule: "at high load fix, stop from 4 degrees under boost; part load counts only while the camshaft is the factory's, as watch",
  sources: ["PH-19", "heywood-1988", "RT-17", "common-practice"],
  examples: {
    fires: [{ tables: [spark(3)], reference: [spark(0)], intake: engine }],
    silent: [
      { tables: [spark(0)], reference: [spark(0)], intake: engine },
      { title: "less than the factory", tables: [spark(-2)], reference: [spark(0)], intake: engine },
    ],
  },
  run(input) {
    return (["spark.main", "spark.low-octane"] as const).flatMap((role) => {
      const [table, reference] = [input.calibration.byRole[role], input.referenceTable[role]];
      return table?.y === undefined || reference === undefined ? [] : above(table, reference, input);
    });
  },
});

function above(table: Table, reference: Table, { intake }: CheckRun): CheckHit[] {
  const factory = sameAxes(table, reference) ? reference.cells : resampleLike(reference, table);
  const columns = columnsOf(table);
  const highLoadG = HIGH_LOAD_SHARE * FULL_LOAD_G_PER_L * cylinderL(intake);
  const isHigh = (cell: number): boolean =>
    table.y!.values[Math.floor(cell / columns)]! >= Math.min(highLoadG, table.y!.values.at(-1)!) && table.x!.values[cell % columns]! >= DRIVEN_RPM;
  const more = Array.from(table.cells.keys()).filter((i) => table.cells[i]! - factory[i]! >= LEAST_DEG);
  const high = more.filter(isHigh);
  const isPartJudged = intake.engine.camChanged !== true;
  const cells = high.length >= FEWEST_CELLS ? high : isPartJudged && more.length >= FEWEST_CELLS ? more : [];
  if (cells.length === 0) return [];
  const isHighLoad = cells === high;
  const most = cells.reduce((a, b) => (table.cells[b]! - factory[b]! > table.cells[a]! - factory[a]! ? b : a));
  const mostDeg = table.cells[most]! - factory[most]!;
  const { boosted, compressionRatio } = intake.engine;
  const because = [
    `${counted(cells.length, "cell")} at least ${LEAST_DEG}° above: ${where(table, cells)}`,
    `most at ${where(table, [most])}: ${plain(table.cells[most]!)}° against ${plain(factory[most]!)}°`,
  ];
  if (isHighLoad && boosted === true) because.push("the engine is boosted");
  if (isHighLoad && compressionRatio !== undefined) because.push(`compression ratio ${plain(compressionRatio)}`);
  return [
    {
      severity: !isHighLoad ? "watch" : boosted === true && mostDeg >= 4 ? "stop" : "fix",
      tables: [table.title],
      summary: `${table.title} lies up to ${plain(mostDeg)}° above the factory's ${isHighLoad ? "at high load" : "at part load"}`,
      because,
    },
  ];
}
