import { curve, resampleLike } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";
import { hasSeveralDiscs, isConverterChanged } from "../facts.ts";
import { plain, where } from "../words.ts";

/** Share of the torque axis from which the clutch carries real torque. */
const LOADED_SHARE = 0.3;
/** Duty under which a single disc is modulated rather than applied. */
const APPLIED_PERCENT = 85;
const APPLIED_OTHER_CONVERTER_PERCENT = 95;
/** Points by which a minimum may lie under the factory's before that alone is a finding. */
const POINTS_BELOW_FACTORY = 8;

const torques = [0, 150, 300, 450];
const factory = curve("trans.lockup-duty-minimum", "%", torques, [94, 97, 99, 100]);

export default defineCheck({
  id: "trans.lockup-modulated",
  title: "Lock-up clutch allowed to slip under torque",
  severity: "fix",
  needs: ["trans.lockup-duty-minimum"],
  automaticOnly: true,
  why: "Below full duty the lock-up clutch is modulated: it slips on purpose. A factory converter's lining is made for it as far as the factory asks; a single disc under more torque, or of another converter, is not and burns.",
  do: "Raise the duty minimum where torque is high so that the clutch is applied with full pressure, or put the factory's back.",
  severityRule: "note for a converter stated to have several discs; watch where the factory's own minimum is as low; fix otherwise",
  sources: ["common-practice", "RT-24"],
  examples: {
    fires: [
      { title: "lowered under torque", tables: [curve("trans.lockup-duty-minimum", "%", torques, [50, 55, 60, 65])], reference: [factory] },
      {
        title: "factory's modulation left in with another converter",
        tables: [curve("trans.lockup-duty-minimum", "%", torques, [40, 60, 70, 80])],
        intake: { changes: ["torque converter, 2800 rpm stall"] },
      },
    ],
    silent: [
      { tables: [factory], reference: [factory] },
      {
        title: "the factory modulates its own converter",
        tables: [curve("trans.lockup-duty-minimum", "%", torques, [40, 60, 70, 80])],
        reference: [curve("trans.lockup-duty-minimum", "%", torques, [40, 60, 70, 80])],
      },
    ],
  },
  run({ table, referenceTable, intake }) {
    const duty = table["trans.lockup-duty-minimum"];
    const torque = duty.x?.values;
    const top = torque?.at(-1) ?? 0;
    const factory = referenceTable["trans.lockup-duty-minimum"];
    const asFactory = factory === undefined ? undefined : resampleLike(factory, duty);
    const otherConverter = isConverterChanged(intake);
    const needed = otherConverter ? APPLIED_OTHER_CONVERTER_PERCENT : APPLIED_PERCENT;
    const low = Array.from(duty.cells.keys()).filter((i) => {
      if (torque !== undefined && torque[i]! < LOADED_SHARE * top) return false;
      const below = asFactory === undefined ? 0 : asFactory[i]! - duty.cells[i]!;
      const isFactorys = asFactory !== undefined && below < 2 && !otherConverter;
      return !isFactorys && (duty.cells[i]! < needed || below > POINTS_BELOW_FACTORY);
    });
    if (low.length === 0) return [];
    const least = low.reduce((a, b) => (duty.cells[b]! < duty.cells[a]! ? b : a));
    const unchanged = asFactory !== undefined && Math.abs(asFactory[least]! - duty.cells[least]!) < 1;
    return [
      {
        severity: hasSeveralDiscs(intake) ? "note" : unchanged && !otherConverter ? "watch" : "fix",
        summary: `Lock-up duty may fall to ${plain(duty.cells[least]!)} % under torque: a single-disc clutch slips there`,
        because: [
          `${duty.title} under ${needed} %: ${where(duty, low)}`,
          ...(asFactory === undefined
            ? []
            : [unchanged ? "the factory's minimum is the same" : `the factory's minimum there is ${plain(asFactory[least]!)} %`]),
          ...(otherConverter ? ["another converter is fitted, by the intake sheet"] : []),
        ],
      },
    ];
  },
});
