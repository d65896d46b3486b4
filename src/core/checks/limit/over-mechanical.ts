import { cylinderL } from "../../result/index.ts";
import { single } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";
import { isSpeedBuilt } from "../facts.ts";
import { plain, signedPercent } from "../words.ts";

/** Share over the factory's limit that a sound valve train takes in its stride. */
const ALLOWED = { watch: 1.04, fix: 1.08 } as const;
/** Mean piston speed above which series bottom ends break [m/s]. */
const LARGEST_PISTON_SPEED = 25;

const engine = { engine: { displacementL: 6, cylinders: 8 } };

export default defineCheck({
  id: "limit.over-mechanical",
  title: "Engine speed limit above what the engine stands",
  severity: "fix",
  needs: ["limit.engine-speed"],
  why: "The factory sets the limit where valve springs still close the valves and rods still hold the pistons. A camshaft with more lift or a steeper flank lowers that speed, it does not raise it.",
  do: "Set the limit back to the factory's, or to the speed that the springs, rods and oiling fitted are stated to stand.",
  severityRule:
    "watch for 4 to 8 % above the factory, or where springs or rods are stated as changed; fix above; stop where the mean piston speed passes 25 m/s",
  sources: ["PH-18", "common-practice"],
  examples: {
    fires: [
      {
        title: "raised with factory springs",
        tables: [single("limit.engine-speed", "rpm", 7200)],
        reference: [single("limit.engine-speed", "rpm", 6100)],
        intake: engine,
      },
      { title: "no limit at all", tables: [single("limit.engine-speed", "rpm", 9900)], intake: engine },
    ],
    silent: [
      { tables: [single("limit.engine-speed", "rpm", 6200)], reference: [single("limit.engine-speed", "rpm", 6100)], intake: engine },
      {
        title: "springs changed",
        tables: [single("limit.engine-speed", "rpm", 6500)],
        reference: [single("limit.engine-speed", "rpm", 6100)],
        intake: { ...engine, changes: ["valve springs"] },
      },
    ],
  },
  run({ table, referenceTable, intake }) {
    const limit = table["limit.engine-speed"].cells[0]!;
    const factory = referenceTable["limit.engine-speed"]?.cells[0];
    const built = isSpeedBuilt(intake);
    // Stroke is not stated: taken as equal to the bore, the middle of what is built.
    const strokeMm = 10 * ((4000 * cylinderL(intake)) / Math.PI) ** (1 / 3);
    const pistonMs = (2 * (strokeMm / 1000) * limit) / 60;
    const isFactorys = factory !== undefined && limit <= factory * 1.005;
    const isFast = pistonMs > LARGEST_PISTON_SPEED && !isFactorys;
    const over = factory === undefined ? 1 : limit / factory;
    if (!isFast && over <= (built ? ALLOWED.fix : ALLOWED.watch)) return [];
    return [
      {
        severity: isFast ? "stop" : built || over <= ALLOWED.fix ? "watch" : "fix",
        summary:
          factory === undefined || over <= ALLOWED.watch
            ? `Engine speed limit of ${plain(limit, 4)} rpm is more than this engine stands`
            : `Engine speed limit of ${plain(limit, 4)} rpm lies ${signedPercent(over)} over the factory's ${plain(factory, 4)} rpm`,
        because: [
          `mean piston speed at the limit about ${plain(pistonMs)} m/s, for a stroke like the bore (${plain(strokeMm)} mm)`,
          built ? "springs or bottom end are stated as changed" : "neither springs nor bottom end are stated as changed",
        ],
      },
    ];
  },
});
