import { describe, expect, it } from "vitest";
import type { Intake } from "../../result/index.ts";
import { curve } from "../../tables/index.ts";
import { namedInjectors } from "./injector-names.ts";
import { flowFromSheetGps, type InjectorSheet } from "./injector-sheet.ts";

const rail = { gaugeKpa: 400, reference: "atmosphere" } as const;
const intake: Intake = { engine: { displacementL: 4, cylinders: 8 }, fuel: { railPressureKpa: 400, railReference: "atmosphere" } };
const vacuum = [0, 20, 40, 60, 80];
const sheet = (label: string, ratedFlowGps: number): InjectorSheet => ({ label, ratedFlowGps, ratedKpa: 300 });
const flow = curve("fuel.injector-flow", "g/s", vacuum, [...flowFromSheetGps(sheet("", 4), rail, Float64Array.from(vacuum))]);

describe("which injectors the tables describe", () => {
  it("says the rated flow that the numbers imply, and that no sheet is kept", () => {
    expect(namedInjectors({ flow }, { intake })).toMatch(/4\.00 g\/s at 300 kPa\. No data sheet is kept/);
  });

  it("names the sheet that comes near, and its difference", () => {
    expect(namedInjectors({ flow }, { intake, injectorSheets: [sheet("large", 6), sheet("green top", 4.05)] })).toMatch(/“green top” \(flow −1\.2 %/);
  });

  it("leaves it open where two come equally near, and says so where none does", () => {
    expect(namedInjectors({ flow }, { intake, injectorSheets: [sheet("A", 4.02), sheet("B", 3.97)] })).toContain("comes nearly as near");
    expect(namedInjectors({ flow }, { intake, injectorSheets: [sheet("A", 6)] })).toContain("does not come near");
  });

  it("counts the intake's own sheet, and says nothing without the rail", () => {
    const injectors = { label: "on the receipt", ratedFlowGps: 4, ratedPressureKpa: 300 };
    expect(namedInjectors({ flow }, { intake: { ...intake, injectors } })).toContain("on the receipt");
    expect(namedInjectors({ flow }, { intake: { engine: intake.engine } })).toBe("");
  });
});
