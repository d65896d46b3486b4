import { describe, expect, it } from "vitest";
import { proposeRoles } from "./role-proposal.ts";
import type { Role } from "./roles.ts";
import type { Table } from "./table.ts";

interface Shape {
  readonly unit: string;
  readonly x?: readonly [string, string, readonly number[]];
  readonly y?: readonly [string, string, readonly number[]];
  readonly cell: (x: number, y: number) => number;
}

const RPM = ["Engine speed", "rpm", [800, 2000, 4000, 6000]] as const;
const TORQUE = ["Engine torque", "Nm", [0, 100, 200, 300]] as const;
const COOLANT = ["Coolant temperature", "degC", [-40, 0, 40, 90]] as const;
const SHIFT = ["Shift", "-", [1, 2, 3]] as const;

const SHAPES: Readonly<Record<Role, Shape>> = {
  "air.ve": { unit: "%", x: RPM, y: ["Manifold absolute pressure", "kPa", [20, 60, 100]], cell: (x, y) => 40 + y / 4 + x / 300 },
  "air.meter-curve": { unit: "g/s", x: ["Airflow meter frequency", "Hz", [1000, 3000, 6000, 9000]], cell: (x) => (x / 1000) ** 2 },
  "air.model-switch-speed": { unit: "rpm", cell: () => 4000 },
  "air.charge-temperature-blend": { unit: "fraction", x: ["Airflow", "g/s", [0, 10, 50, 150]], cell: (x) => 0.5 / (1 + x / 20) },
  "fuel.stoich": { unit: "AFR", cell: () => 14.6 },
  "fuel.injector-flow": { unit: "g/s", x: ["Manifold vacuum", "kPa", [0, 20, 40, 80]], cell: (x) => 3 + x / 200 },
  "fuel.injector-dead-time": { unit: "ms", x: ["Battery voltage", "V", [8, 10, 12, 14]], cell: (x) => 12 / x },
  "fuel.full-load-ratio": { unit: "equivalence ratio", x: RPM, cell: (x) => 1.1 + x / 1e5 },
  "fuel.full-load-throttle": { unit: "%", x: RPM, cell: (x) => 80 - x / 200 },
  "fuel.long-trim-enabled": { unit: "0/1", cell: () => 1 },
  "idle.target-speed": { unit: "rpm", x: COOLANT, cell: (x) => 1000 - 4 * x },
  "idle.base-airflow": { unit: "g/s", x: COOLANT, cell: (x) => 12 - x / 12 },
  "idle.throttle-follower": { unit: "g/s", x: RPM, cell: (x) => x / 2000 },
  "throttle.area-curve": { unit: "mm²", x: ["Throttle opening", "%", [0, 10, 50, 100]], cell: (x) => 5 + (x * x) / 4 },
  "spark.main": { unit: "deg", x: RPM, y: ["Air per cylinder", "g/cyl", [0.1, 0.4, 0.8]], cell: (x, y) => 25 + x / 500 - 20 * y },
  "spark.low-octane": { unit: "deg", x: RPM, y: ["Air per cylinder", "g/cyl", [0.1, 0.4, 0.8]], cell: (x, y) => 23 + x / 500 - 24 * y },
  "torque.spark-loss": { unit: "fraction", x: ["Spark retard from best", "deg", [0, 10, 20, 40]], cell: (x) => (x / 45) ** 2 },
  "torque.shift-reduction": { unit: "fraction", x: SHIFT, y: TORQUE, cell: (x, y) => 0.05 * x + y / 2000 },
  "torque.brake-hold-reduction": { unit: "0/1", cell: () => 1 },
  "trans.line-pressure": { unit: "kPa", x: TORQUE, y: ["Gear", "-", [1, 2, 3, 4]], cell: (x) => 350 + 2 * x },
  "trans.line-pressure-ceiling": { unit: "kPa", cell: () => 1200 },
  "trans.shift-time": { unit: "s", x: TORQUE, cell: (x) => 0.5 - x / 2000 },
  "trans.shift-speed-up": { unit: "km/h", x: ["Throttle opening", "%", [0, 30, 60, 100]], y: SHIFT, cell: (x, y) => 15 * y + x / 2 },
  "trans.lockup-duty-minimum": { unit: "%", x: TORQUE, cell: (x) => 94 + x / 60 },
  "limit.engine-speed": { unit: "rpm", cell: () => 6200 },
  "limit.vehicle-speed": { unit: "km/h", cell: () => 190 },
  "driveline.axle-ratio": { unit: "-", cell: () => 3.73 },
  "driveline.tire-revs-per-km": { unit: "1/km", cell: () => 470 },
};

function table(role: Role, title: string): Table {
  const { unit, x, y, cell } = SHAPES[role];
  const xs = x?.[2] ?? [0];
  const ys = y?.[2] ?? [0];
  return {
    title,
    unit,
    ...(x === undefined ? {} : { x: { name: x[0], unit: x[1], values: Float64Array.from(xs) } }),
    ...(y === undefined ? {} : { y: { name: y[0], unit: y[1], values: Float64Array.from(ys) } }),
    cells: Float64Array.from(ys.flatMap((yAt) => xs.map((xAt) => cell(xAt, yAt)))),
  };
}

/** Five vocabularies of people who name tables (made up; common practice, no published source). */
const TITLES: Readonly<Record<Role, readonly string[]>> = {
  "air.ve": ["VE", "Cylinder filling", "Vol. efficiency, main", "Speed density base table", "Engine breathing"],
  "air.meter-curve": ["MAF transfer", "Airflow sensor characteristic", "Hot wire scaling", "Meter linearisation", "Mass air flow vs frequency"],
  "air.model-switch-speed": ["MAF only above", "Air model handover", "Speed density off above", "Meter takeover speed", "Dynamic air disable"],
  "air.charge-temperature-blend": [
    "Charge temp bias",
    "Coolant share of inlet charge",
    "Heat pickup",
    "Intake charge temperature weighting",
    "Charge heat factor",
  ],
  "fuel.stoich": ["Stoich AFR", "Stoichiometric point of the fuel", "Fuel stoichiometry", "Stoich", "Stoichiometric air fuel ratio"],
  "fuel.injector-flow": ["Injector flow rate", "Injector capacity", "Static flow of injectors", "Inj flow vs vacuum", "Injector slope"],
  "fuel.injector-dead-time": ["Injector offset", "Injector latency", "Inj dead time", "Injector lag with voltage", "Opening delay"],
  "fuel.full-load-ratio": ["Power enrichment", "WOT mixture", "Full load lambda request", "PE EQ ratio", "Wide open throttle fuelling"],
  "fuel.full-load-throttle": ["PE enable throttle", "WOT entry", "Full load begins at", "Power enrichment throttle threshold", "Throttle for full load fuel"],
  "fuel.long-trim-enabled": ["LTFT enable", "Long term learning on", "Fuel learning switch", "Long trim active", "Block learn enable"],
  "idle.target-speed": ["Idle RPM desired", "Desired idle", "Idle setpoint", "Idle speed warm-up", "Commanded idle speed"],
  "idle.base-airflow": ["Idle running airflow", "Idle air vs coolant", "Base idle flow", "Idle air required", "Idle feedforward air"],
  "idle.throttle-follower": ["Throttle cracker", "Dashpot air", "Coastdown airflow", "Throttle follow-up air", "Decel follower"],
  "throttle.area-curve": ["Throttle area", "Effective area of throttle", "TB flow area", "Throttle plate geometry", "Throttle bore area"],
  "spark.main": ["Spark, high octane", "Base ignition timing", "Main timing", "Ignition angle", "Spark advance"],
  "spark.low-octane": ["Spark, low octane", "Knock fallback ignition timing", "Timing for regular fuel", "Ignition angle on poor fuel", "Safe spark advance"],
  "torque.spark-loss": ["Torque loss per degree", "Spark retard torque effect", "Retard effectiveness", "Torque vs spark retard", "Torque drop with timing"],
  "torque.shift-reduction": [
    "Shift torque management",
    "Torque cut on gear change",
    "Upshift torque reduction",
    "Torque reduction by shift",
    "Shift energy limiting",
  ],
  "torque.brake-hold-reduction": [
    "Brake torque management",
    "Stall torque limit on brake",
    "Torque cut held on brake",
    "Power braking protection",
    "Launch on brake reduction",
  ],
  "trans.line-pressure": ["Line pressure base", "Main pressure by gear", "Pump pressure", "Hydraulic pressure vs torque", "Clamping pressure"],
  "trans.line-pressure-ceiling": ["Line pressure max", "Pressure limit", "Highest line pressure", "Max pump pressure", "Line pressure cap"],
  "trans.shift-time": ["Desired shift time", "Gear change duration", "Shift period", "Shift length", "Upshift time"],
  "trans.shift-speed-up": ["Upshift schedule", "Upshift points", "Shift up road speed", "1-2 2-3 3-4 shift pattern", "Upshift MPH"],
  "trans.lockup-duty-minimum": ["TCC min duty", "Converter lockup minimum", "Lock-up apply floor", "TCC PWM minimum", "Clutch apply duty"],
  "limit.engine-speed": ["Rev limiter", "Engine redline", "Max engine RPM", "Engine overspeed cut", "Fuel cut RPM limit"],
  "limit.vehicle-speed": ["Speed limiter", "Top speed governor", "Road speed cap", "Vehicle max speed", "Governed vehicle speed"],
  "driveline.axle-ratio": ["Final drive", "Rear axle", "Differential ratio", "Diff", "Axle"],
  "driveline.tire-revs-per-km": ["Tyre revs", "Tire turns per km", "Wheel revolutions", "Rolling circumference constant", "Tyre size"],
};

const ROLES_OF_TEST = Object.keys(SHAPES) as Role[];

describe("roles of tables that state none", () => {
  for (let set = 0; set < 5; set++)
    it(`vocabulary ${set + 1}: all twenty-eight at once`, () => {
      const proposals = proposeRoles(ROLES_OF_TEST.map((role) => table(role, TITLES[role][set]!)));
      expect(ROLES_OF_TEST.map((role, i) => `${TITLES[role][set]}: ${proposals[i]?.role}`)).toEqual(
        ROLES_OF_TEST.map((role) => `${TITLES[role][set]}: ${role}`),
      );
    });

  it("order does not matter", () => {
    const tables = ROLES_OF_TEST.map((role) => table(role, TITLES[role][0]!));
    const forward = proposeRoles(tables).map((each) => each?.role);
    expect(proposeRoles([...tables].reverse()).map((each) => each?.role)).toEqual([...forward].reverse());
  });

  it("titles that say nothing: units, axes and values still tell most", () => {
    const telling: readonly Role[] = [
      "air.ve",
      "air.meter-curve",
      "throttle.area-curve",
      "fuel.injector-dead-time",
      "fuel.injector-flow",
      "driveline.tire-revs-per-km",
      "torque.spark-loss",
      "trans.line-pressure",
      "fuel.stoich",
    ];
    const proposals = proposeRoles(telling.map((role, i) => table(role, `K${i + 1}`)));
    expect(proposals.map((each) => each?.role)).toEqual(telling);
    for (const each of proposals) expect(each!.confidence).toBeLessThan(0.7);
  });

  it("two spark tables by one title: the one with less advance is for poor fuel", () => {
    const proposals = proposeRoles([table("spark.low-octane", "Ignition map A"), table("spark.main", "Ignition map B")]);
    expect(proposals.map((each) => each?.role)).toEqual(["spark.low-octane", "spark.main"]);
  });

  it("a table that is none of these stays without a role", () => {
    const strange: Table = {
      title: "Radiator fan steps",
      unit: "A",
      x: { name: "Fan", unit: "-", values: Float64Array.of(1, 2) },
      cells: Float64Array.of(3, 4),
    };
    expect(proposeRoles([strange])).toEqual([undefined]);
  });

  it("a role that is taken is not given again", () => expect(proposeRoles([table("air.ve", "VE")], new Set<Role>(["air.ve"]))[0]?.role).not.toBe("air.ve"));

  it("tables that were zeroed keep their role", () => {
    const zeroed = ROLES_OF_TEST.map((role) => ({ ...table(role, TITLES[role][1]!), cells: new Float64Array(table(role, "").cells.length) }));
    expect(proposeRoles(zeroed).map((each) => each?.role)).toEqual(ROLES_OF_TEST);
  });
});
