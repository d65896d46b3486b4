import { single } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";

export default defineCheck({
  id: "fuel.long-trim-off",
  title: "Long-term trims are off",
  severity: "note",
  needs: ["fuel.long-trim-enabled"],
  why: "Calibrators switch long-term trims off while they correct air tables, so that the trims do not hide the error. It is right during the work and wrong when the vehicle is handed back: the engine can then no longer follow wear, fuel and weather.",
  do: "Leave it off while the air tables are corrected; switch it on again before handing over.",
  sources: ["common-practice"],
  examples: { fires: [{ tables: [single("fuel.long-trim-enabled", "0/1", 0)] }], silent: [{ tables: [single("fuel.long-trim-enabled", "0/1", 1)] }] },
  run({ table, referenceTable }) {
    const trim = table["fuel.long-trim-enabled"];
    if (trim.cells[0]! >= 0.5) return [];
    const factory = referenceTable["fuel.long-trim-enabled"]?.cells[0];
    const because = [`${trim.title} is 0`];
    if (factory !== undefined) because.push(factory >= 0.5 ? "the factory has it on" : "the factory has it off too");
    return [{ summary: "Long-term fuel trims are switched off", because }];
  },
});
