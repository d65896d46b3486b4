import type { Intake } from "../../result/index.ts";

/** Outcomes of workshop tests that an intake sheet states, as test id and outcome; `says` where the sheet tells more than the outcome. */
export function outcomesOf(intake: Intake): readonly { readonly test: string; readonly outcome: string; readonly says?: string }[] {
  const seen = intake.observations ?? {};
  const outcomes: { test: string; outcome: string; says?: string }[] = [];
  if (seen.smokeTest === "clean" || seen.smokeTest === "leak")
    outcomes.push({ test: "smoke-test", outcome: seen.smokeTest, says: seen.smokeTest === "clean" ? "Smoke test found no leak" : "Smoke test found a leak" });
  const loadKpa = seen.fuelPressureKpaAtLoad;
  const railKpa = intake.fuel?.railPressureKpa;
  if (typeof loadKpa === "number" && loadKpa > 0 && railKpa !== undefined) {
    const missingKpa = railKpa - loadKpa;
    const outcome = missingKpa > 25 ? "falls under load" : missingKpa < -40 ? "wrong at all times" : "holds";
    outcomes.push({
      test: "fuel-pressure-under-load",
      outcome,
      says: `Fuel pressure under load ${loadKpa.toFixed(0)} kPa where the rail should hold ${railKpa.toFixed(0)} kPa`,
    });
  }
  const entered = seen.workshopTests;
  if (typeof entered === "object" && entered !== null)
    for (const [test, outcome] of Object.entries(entered).sort(([a], [b]) => (a < b ? -1 : 1)))
      if (typeof outcome === "string") outcomes.push({ test, outcome });
  return outcomes;
}
