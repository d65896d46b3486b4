import type { Picture } from "../drawing/index.ts";
import { createContext } from "./context.ts";
import type { UnitChoice } from "./measures.ts";
import type { ReportModel } from "./model.ts";
import { gainPicture } from "./pictures/sweeps.ts";
import { seriesPicture } from "./sections/pulls.ts";
import { ENGLISH } from "./texts/index.ts";

/** The pictures of a vehicle's sweeps as the report draws them: of each calibration, and of each difference. */
export function drawPulls(model: ReportModel, units: UnitChoice): { readonly series: (Picture | undefined)[]; readonly gains: (Picture | undefined)[] } {
  const context = createContext(model, ENGLISH, units);
  const series = model.series ?? [];
  return {
    series: series.map((one) => seriesPicture(context, one.sweeps, one.pulls)),
    gains: (model.gains ?? []).map((gain) => {
      const [from, to] = [series.find(({ name }) => name === gain.from), series.find(({ name }) => name === gain.to)];
      const caption = ENGLISH.pulls.gainCaption(gain.from, gain.to, gain.summary);
      return from === undefined || to === undefined ? undefined : gainPicture(context, from, to, gain, caption);
    }),
  };
}
