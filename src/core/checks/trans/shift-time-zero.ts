import { curve } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";
import { isTransmissionBuilt } from "../facts.ts";
import { counted, plain, where } from "../words.ts";

/** No clutch changes over in less: a tenth of the shortest time the trade asks for. */
const NO_TIME_S = 0.02;

const torques = [0, 200, 400];

export default defineCheck({
  id: "trans.shift-time-zero",
  title: "Shift asked to take no time",
  severity: "fix",
  needs: ["trans.shift-time"],
  automaticOnly: true,
  why: "A clutch that must change over in no time is filled at full pressure and hits hard: bands, sprags and shafts take the blow. Zero suits only a transmission built for it.",
  do: "Put back the factory's times, or times that this clutch was measured to manage.",
  severityRule: "note where the intake states a transmission built for it (built, race, manual valve body); fix otherwise",
  sources: ["RT-23", "common-practice"],
  examples: {
    fires: [
      { tables: [curve("trans.shift-time", "s", torques, [0, 0, 0.3])] },
      {
        title: "built for it: a note",
        tables: [curve("trans.shift-time", "s", torques, [0, 0, 0])],
        intake: { vehicle: { transmission: "4-speed automatic, built, manual valve body" } },
      },
    ],
    silent: [{ tables: [curve("trans.shift-time", "s", torques, [0.5, 0.4, 0.3])] }],
  },
  run({ table, referenceTable, intake }) {
    const times = table["trans.shift-time"];
    const none = Array.from(times.cells.keys()).filter((i) => times.cells[i]! < NO_TIME_S);
    if (none.length === 0) return [];
    const factory = referenceTable["trans.shift-time"];
    const built = isTransmissionBuilt(intake);
    return [
      {
        severity: built ? "note" : "fix",
        summary:
          none.length === times.cells.length
            ? "Every shift is asked to take no time"
            : `${counted(none.length, "cell asks", "cells ask")} for a shift in no time`,
        because: [
          `${times.title}: ${where(times, none)}`,
          ...(factory === undefined ? [] : [`the factory asks for ${plain(Math.min(...factory.cells))} to ${plain(Math.max(...factory.cells))} s`]),
          ...(built ? ["the intake states a transmission built for it"] : []),
        ],
      },
    ];
  },
});
