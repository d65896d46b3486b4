import { median } from "../../../base/index.ts";
import { blendAfr, CUSTOMARY_GASOLINE } from "../../physics/index.ts";
import { type CorrectionInput, defineCorrection } from "../define.ts";
import { findingOf, ruledChange } from "../from-findings.ts";

export default defineCorrection({
  id: "fuel.stoich",
  title: "Stoichiometric ratio of the fuel that is driven",
  writes: "fuel.stoich",
  needs: ["fuel.stoich"],
  observationsNeeded: "None; the intake sheet must say how much ethanol the fuel holds. A drive tells whether the air tables were bent to hide it.",
  why: "All fuel is air divided by this ratio: a wrong one is a wrong fuel everywhere, and in open loop nothing takes it back.",
  heldBy: [],
  largestStep: Number.POSITIVE_INFINITY,
  sources: ["ST-E10", "ST-E10-147", "PH-11", "common-practice"],
  compute(input) {
    const ethanolPercent = input.intake.fuel?.ethanolPercentVolume;
    if (ethanolPercent === undefined || findingOf(input, "fuel.stoich-not-the-fuel", ["stop", "fix", "watch"]) === undefined) return {};
    const share = ethanolPercent / 100;
    const [low, high] = [blendAfr(share), blendAfr(share, CUSTOMARY_GASOLINE)];
    const value = (low + high) / 2;
    const before = input.table["fuel.stoich"]!.cells[0]!;
    const change = ruledChange(
      new Float64Array(input.table["fuel.stoich"]!.cells.length).fill(value),
      `A fuel with ${ethanolPercent} % ethanol by volume needs between ${low.toFixed(2)} (usual base gasoline) and ${high.toFixed(2)} (base gasoline of 14.7); the middle is taken. ${whatTheDriveSays(input, Math.log(before / value))}`,
      ["Any air table proposed beside it was fitted with the ratio as received: enter one of the two, drive again, then the other."],
    );
    return { change: { ...change, sd: change.sd.map(() => (high - low) / 2) } };
  },
});

/** Whether trims and lambda carry the error (air tables sound), or the air tables hide it. */
function whatTheDriveSays({ observations }: CorrectionInput, expectedLn: number): string {
  const seen = median(observations.flatMap((o) => Array.from(o.fuelResidual, (r, i) => (o.steadiness[i]! > 0.5 ? r : Number.NaN))));
  if (Number.isNaN(seen)) return "";
  const said = `The drive's fuel residual is ${signedPercent(seen)}; with sound air tables this ratio alone would make it ${signedPercent(expectedLn)}.`;
  return Math.abs(seen - expectedLn) < Math.abs(seen) ? said : `${said} The air tables seem to have been made with the wrong ratio: they must come with it.`;
}

function signedPercent(ln: number): string {
  const value = 100 * Math.expm1(ln);
  return `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)} %`;
}
