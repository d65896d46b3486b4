import { grid, single } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";
import { isTransmissionBuilt } from "../facts.ts";
import { counted, plain, where } from "../words.ts";

/** Printed digits and unit conversion. */
const SLACK = 1.0005;

const pressure = (top: number) =>
  grid(
    "trans.line-pressure",
    "kPa",
    [0, 200, 400],
    [1, 2],
    [
      [350, 700, top],
      [340, 680, top - 40],
    ],
  );
const ceiling = single("trans.line-pressure-ceiling", "kPa", 1250);

export default defineCheck({
  id: "trans.pressure-over-ceiling",
  title: "Line pressure commanded above its ceiling",
  severity: "fix",
  needs: ["trans.line-pressure", "trans.line-pressure-ceiling"],
  automaticOnly: true,
  why: "Commanded above its ceiling the valve body dumps pressure: the command for the hardest use gives the least clamping, and the clutches slip where torque is greatest. The ceiling belongs to the transmission family and is a table of the calibration.",
  do: "Bring the pressure table under the ceiling again. If more clamping is wanted, the hardware must give it.",
  severityRule: "watch where the intake states a built transmission or a manual valve body, whose ceiling may be another; fix otherwise",
  sources: ["RT-22", "common-practice"],
  examples: {
    fires: [{ tables: [pressure(1310), ceiling] }],
    silent: [{ tables: [pressure(1135), ceiling] }, { title: "at the ceiling", tables: [pressure(1250), ceiling] }],
  },
  run({ table, referenceTable, intake }) {
    const [pressures, limit] = [table["trans.line-pressure"], table["trans.line-pressure-ceiling"].cells[0]!];
    const factoryLimit = referenceTable["trans.line-pressure-ceiling"]?.cells[0] ?? limit;
    const isRaised = limit > factoryLimit * 1.01;
    const holds = Math.min(limit, isRaised ? factoryLimit : limit);
    const over = Array.from(pressures.cells.keys()).filter((i) => pressures.cells[i]! > holds * SLACK);
    if (over.length === 0) return [];
    const most = Math.max(...over.map((i) => pressures.cells[i]!));
    return [
      {
        severity: isTransmissionBuilt(intake) || most <= limit * SLACK ? "watch" : "fix",
        summary: `Line pressure is commanded up to ${plain(most, 4)} kPa, ${plain(most - holds)} kPa over the ${most <= limit * SLACK ? "factory's ceiling" : "ceiling"} of ${plain(holds, 4)} kPa`,
        because: [
          `${counted(over.length, "cell")} over it: ${where(pressures, over)}`,
          ...(isRaised
            ? [`the ceiling itself was raised from ${plain(factoryLimit, 4)} to ${plain(limit, 4)} kPa; the valve body did not change with it`]
            : []),
        ],
      },
    ];
  },
});
