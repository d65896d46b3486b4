import { blendAfr, CUSTOMARY_GASOLINE } from "../../physics/index.ts";
import { single } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";
import { plain, signedPercent } from "../words.ts";

/** What rounding, the base gasoline's make-up and the pump's own spread leave open around the computed band. */
const SLACK = 0.01;

const e10 = { fuel: { ethanolPercentVolume: 10 } };

export default defineCheck({
  id: "fuel.stoich-not-the-fuel",
  title: "Stoichiometric ratio is not the fuel's",
  severity: "fix",
  needs: ["fuel.stoich"],
  why: "All fuel is reckoned from air divided by this ratio. Ethanol carries its own oxygen, so pump gasoline with 10 % of it needs about 14.0 to 14.1, not 14.7. A wrong ratio shifts the whole engine by one constant factor: trims settle at it everywhere, and in open loop nothing corrects it.",
  do: "Enter the ratio of the fuel that is driven, then correct the air tables: with the wrong ratio the error would be baked into them.",
  severityRule: "watch where it is off by less than 2 %; fix from there",
  sources: ["ST-E10", "ST-E10-147", "RT-08", "PH-11", "common-practice"],
  examples: {
    fires: [
      { title: "ratio of gasoline without ethanol, fuel with 10 %", tables: [single("fuel.stoich", "AFR", 14.68)], intake: e10 },
      { title: "ratio of E10, fuel without ethanol", tables: [single("fuel.stoich", "AFR", 14.05)], intake: { fuel: { ethanolPercentVolume: 0 } } },
    ],
    silent: [
      { tables: [single("fuel.stoich", "AFR", 14.1)], intake: e10 },
      { tables: [single("fuel.stoich", "AFR", 14.68)], intake: { fuel: { ethanolPercentVolume: 0 } } },
      { tables: [single("fuel.stoich", "AFR", 9.82)], intake: { fuel: { ethanolPercentVolume: 85 } } },
    ],
  },
  lacks: ({ intake }) => (intake.fuel?.ethanolPercentVolume === undefined ? "the intake does not say how much ethanol the fuel holds" : undefined),
  run({ table, intake }) {
    const stoich = table["fuel.stoich"];
    const share = intake.fuel!.ethanolPercentVolume! / 100;
    const [low, high] = [blendAfr(share), blendAfr(share, CUSTOMARY_GASOLINE)];
    const value = stoich.cells[0]!;
    if (value >= low * (1 - SLACK) && value <= high * (1 + SLACK)) return [];
    const nearest = value < low ? low : high;
    const middle = (low + high) / 2;
    return [
      {
        severity: Math.abs(value / nearest - 1) < 0.02 ? "watch" : "fix",
        summary: `Stoichiometric ratio ${plain(value, 4)} does not belong to a fuel with ${plain(share * 100)} % ethanol (${plain(low, 4)} to ${plain(high, 4)})`,
        because: [
          `computed from the fuel's make-up: ${plain(low, 4)} with a usual base gasoline, ${plain(high, 4)} with one of 14.7`,
          `fuel is short or long by ${signedPercent(middle / value)} against what the fuel needs, in open loop uncorrected`,
        ],
      },
    ];
  },
});
