import { describe, expect, it } from "vitest";
import { expectClose, rowById, rowsOf } from "../../../tests/reference/rows.ts";
import { seededRandom } from "../../base/index.ts";
import { drawVehicle, stoichOf } from "./draw-vehicle.ts";
import { kmhAt } from "./drive-tables.ts";
import { cylinderAirG, dryShare, exactFlowFunction, flowFunction, orificeGps, saturationKpa } from "./gas.ts";
import { injectorFlowGps } from "./injector.ts";
import { j1349Factor } from "./sweep.ts";
import { filling, sparkShare } from "./torque.ts";

const physics = rowsOf("physics-checks.csv");
const worked = (id: string): number => Number(rowById(physics, id).value);
const vehicle = drawVehicle(seededRandom(1), {});

describe("gas and flow of the virtual engine, against the formula sheet's worked values", () => {
  it("air in a cylinder (PH-01a)", () => expectClose(cylinderAirG(0.8, 60, 0.6625, 320), worked("PH-01a"), { relative: 1e-6 }));
  it("absolute load (PH-02c)", () => expectClose(100 * filling(0.16875, 0.6625), worked("PH-02c"), { relative: 1e-3 }));
  it("choked flow function (PH-03b)", () => expectClose(exactFlowFunction(0.3), worked("PH-03b"), { relative: 1e-7 }));
  it("20 mm² choked (PH-03c)", () => expectClose(orificeGps(20, 100, 298.15, 40), worked("PH-03c"), { relative: 1e-5 }));
  it("20 mm² at ratio 0.80 (PH-03e) and 0.95 (PH-03f), tabulated", () => {
    expectClose(orificeGps(20, 100, 298.15, 80), worked("PH-03e"), { relative: 1e-4 });
    expectClose(orificeGps(20, 100, 298.15, 95), worked("PH-03f"), { relative: 1e-4 });
  });
  it("is continuous, falls to nothing at equal pressures and runs back beyond", () => {
    for (let r = 0.3; r < 1; r += 0.001) expect(Math.abs(flowFunction(r) - flowFunction(r + 0.001))).toBeLessThan(0.02);
    expect(Math.abs(orificeGps(20, 100, 300, 100))).toBe(0);
    expect(orificeGps(20, 100, 300, 120)).toBeLessThan(-1);
  });
  it("dry share of hot humid air (PH-20a, 35 °C, 95 kPa, 60 %)", () =>
    expectClose(dryShare({ temperatureC: 35, pressureKpa: 95, relativeHumidityPercent: 60 }), worked("PH-20a"), { relative: 2e-4 }));
  it("saturation pressure within half a per cent of IAPWS-IF97 from 5 to 35 °C", () => {
    const rows = rowsOf("air-and-power.csv").filter((row) => /^AP-PSAT-(5|10|15|20|25|30|35)$/.test(row.id!));
    expect(rows.length).toBe(7);
    for (const row of rows) expectClose(saturationKpa(Number(row.temp_C)), Number(row.value), { relative: 5e-3 });
  });
  it("SAE J1349 factors (AP-J1349-1 to 5; tolerance of that sheet's note, Magnus vapour pressure included)", () => {
    const rows = rowsOf("air-and-power.csv").filter((row) => /^AP-J1349-[2-5]$/.test(row.id!));
    expect(rows.length).toBe(4);
    for (const row of rows)
      expectClose(
        j1349Factor({ pressureKpa: Number(row.pressure_kPa), temperatureC: Number(row.temp_C), relativeHumidityPercent: Number(row.rh_pct) }),
        Number(row.value),
        { absolute: 0.001 },
      );
  });
  it("injector flow on a gauge rail at 20 to 80 kPa of vacuum (PH-04b to e), flat on a manifold-referenced one", () => {
    const injection = { ...vehicle.injection, ratedFlowGps: 4, ratedKpa: 400, railReference: "atmosphere" as const };
    for (const [vacuum, id] of [
      [20, "PH-04b"],
      [40, "PH-04c"],
      [60, "PH-04d"],
      [80, "PH-04e"],
    ] as const)
      expectClose(injectorFlowGps(injection, 400, vacuum), worked(id), { relative: 1e-6 });
    expect(injectorFlowGps({ ...injection, railReference: "manifold" }, 400, 60)).toBe(4);
  });
  it("spark loss near best is a parabola of the regression's size (PH-19a, PH-19b)", () => {
    const engine = { ...vehicle.engine, sparkLossPerDeg2: 0.00048 };
    expectClose(1 - sparkShare(engine, 10), worked("PH-19a"), { relative: 1e-9 });
    expectClose(1 - sparkShare(engine, 20), worked("PH-19b"), { relative: 1e-9 });
  });
  it("road speed from engine speed (PH-15a)", () =>
    expectClose(kmhAt({ ...vehicle, body: { ...vehicle.body, axleRatio: 3.73, tireRevsPerKm: 452 } }, 2000, 1), worked("PH-15a"), { relative: 1e-6 }));
  it("stoichiometric ratio of E10 (ST-E10), a half a per cent: the base gasoline differs by that", () => {
    const row = rowById(rowsOf("stoich.csv"), "ST-E10");
    expectClose(stoichOf(10), Number(row.afr_stoich), { relative: 6e-3 });
  });
});
