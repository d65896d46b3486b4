import type { Random } from "../../src/base/index.ts";
import type { Axis, CellFormat, Role, Table } from "../../src/core/tables/index.ts";

/**
 * Factory tables that no vehicle has, of the shapes that the roles have: a seeded draw of sizes, axes, rounding steps and units.
 * Figures are typical of their class (common practice, no published source); no real calibration stands behind them.
 */
export interface FactoryVehicle {
  readonly displacementL: number;
  readonly cylinders: number;
  readonly boosted: boolean;
  readonly axleRatio: number;
  readonly tireRevsPerKm: number;
  readonly railKpa: number;
  readonly railReference: "atmosphere" | "manifold";
  readonly ethanolPercent: number;
  readonly limitRpm: number;
  readonly maxTorqueNm: number;
  readonly gears: number;
  readonly idleRpm: number;
}

export function drawVehicle(random: Random): FactoryVehicle {
  const cylinders = random.pick([3, 4, 4, 5, 6, 6, 8, 8, 10]);
  const displacementL = Math.round(cylinders * random.between(0.38, 0.78) * 10) / 10;
  const boosted = random.chance(0.3);
  return {
    displacementL,
    cylinders,
    boosted,
    axleRatio: Math.round(random.between(2.7, 4.6) * 100) / 100,
    tireRevsPerKm: random.whole(405, 530),
    railKpa: random.pick([270, 300, 350, 380, 400]),
    railReference: random.pick(["atmosphere", "manifold"]),
    ethanolPercent: random.pick([0, 0, 5, 10, 10, 10, 15, 20, 85]),
    limitRpm: random.whole(54, 76) * 100,
    maxTorqueNm: Math.round((displacementL * random.between(85, 95) * (boosted ? 1.6 : 1)) / 10) * 10,
    gears: random.whole(4, 8),
    idleRpm: random.whole(48, 68) * 12.5,
  };
}

/** A grid that a controller stores cells on. */
export function onGrid(value: number, step: number): number {
  return Math.round(value / step) * step;
}

interface Shape {
  readonly unit: string;
  readonly steps: readonly number[];
  readonly x?: (v: FactoryVehicle, r: Random) => Axis;
  readonly y?: (v: FactoryVehicle, r: Random) => Axis;
  readonly value: (x: number, y: number, v: FactoryVehicle, texture: (amplitude: number) => number, r: Draw) => number;
  readonly other?: { readonly unit: string; readonly scale: number; readonly offset?: number };
}

/** Numbers fixed once per table, so that one table is one surface. */
type Draw = readonly [number, number, number];

function ladder(name: string, unit: string, from: number, to: number, count: number): Axis {
  return { name, unit, values: Float64Array.from({ length: count }, (_, i) => Math.round((from + ((to - from) * i) / (count - 1)) * 1000) / 1000) };
}

const rpmAxis = (v: FactoryVehicle, r: Random): Axis => {
  const spacing = r.pick([400, 500, 800]);
  return ladder("Engine speed", "rpm", spacing, spacing * Math.ceil(v.limitRpm / spacing), Math.ceil(v.limitRpm / spacing));
};
const coarseRpmAxis = (v: FactoryVehicle): Axis => ladder("Engine speed", "rpm", 800, 800 * Math.ceil(v.limitRpm / 800), Math.ceil(v.limitRpm / 800));
const loadAxis = (v: FactoryVehicle, r: Random): Axis => {
  const top = (v.displacementL / v.cylinders) * 1.25 * (v.boosted ? 1.9 : 1);
  return ladder("Air per cylinder", "g/cyl", 0.1, Math.round(top * 100) / 100, r.whole(9, 19));
};
const torqueAxis = (v: FactoryVehicle, r: Random): Axis => ladder("Engine torque", "Nm", 0, v.maxTorqueNm, r.whole(5, 11));
const coolantAxis = (_: FactoryVehicle, r: Random): Axis => ladder("Coolant temperature", "°C", -40, r.pick([104, 116, 120]), r.whole(8, 14));

const sparkOf = (x: number, y: number, v: FactoryVehicle, d: Draw): number => {
  const full = (v.displacementL / v.cylinders) * 1.2;
  const advance = 14 + 16 * d[0] + 26 * Math.exp((-2.1 * y) / full) + 11 * (1 - Math.exp(-x / 2800)) - (v.boosted ? 10 : 6) * (y / full);
  const isIdle = x < 1300 && y < 0.4 * full;
  return Math.min(46, isIdle ? Math.min(advance, 17 + 6 * d[1] + 4 * (y / full)) : advance);
};

const SHAPES: Partial<Record<Role, Shape>> = {
  "air.ve": {
    unit: "%",
    steps: [0.1, 0.01, 0.390625, 0.5],
    x: rpmAxis,
    y: (v, r) => ladder("Manifold absolute pressure", "kPa", 20, v.boosted ? 220 : r.pick([100, 105]), r.whole(8, 19)),
    value: (x, y, v, texture, d) => {
      const peak = v.limitRpm * (0.62 + 0.15 * d[0]);
      const breathing = 98 - 26 * ((x - peak) / peak) ** 2 - 12 * d[1];
      return breathing * (1 - 0.42 * Math.exp(-(y - 12) / 22)) * (1 - 0.1 * Math.exp(-x / 700)) + texture(1.3);
    },
  },
  "air.meter-curve": {
    unit: "g/s",
    steps: [1 / 128, 0.01],
    x: (_, r) => ladder("Airflow meter frequency", "Hz", r.pick([1000, 1200, 1500]), r.pick([11250, 12500]), r.whole(15, 45)),
    value: (x, _y, _v, _t, d) => 0.2 + 0.4 * (x / 1400) ** (2.2 + 0.6 * d[0]),
    other: { unit: "lb/min", scale: 7.5598728 },
  },
  "air.model-switch-speed": { unit: "rpm", steps: [50], value: (_x, _y, _v, _t, d) => (d[0] < 0.35 ? 0 : 3500 + 1500 * d[1]) },
  "air.charge-temperature-blend": {
    unit: "fraction",
    steps: [0.001, 1 / 128],
    x: (_, r) => ({ name: "Airflow", unit: "g/s", values: Float64Array.from([0, 2, 4, 6, 9, 13, 20, 30, 45, 65, 95, 140, 200].slice(0, r.whole(9, 13))) }),
    value: (x, _y, _v, _t, d) => 0.03 + (0.3 + 0.3 * d[0]) / (1 + x / 7),
  },
  "fuel.stoich": {
    unit: "AFR",
    steps: [0.01],
    // Mass mix of gasoline and ethanol (9.008), densities 0.745 and 0.7935: rows ST-ETHANOL and ST-GAS-CH185 of stoich.csv.
    value: (_x, _y, v, _t, d) => {
      const volume = v.ethanolPercent / 100;
      const mass = (volume * 0.7935) / (volume * 0.7935 + (1 - volume) * 0.745);
      return mass * 9.008 + (1 - mass) * (14.6 + 0.1 * d[0]);
    },
  },
  "fuel.injector-flow": {
    unit: "g/s",
    steps: [1 / 256, 0.001],
    x: (v, r) => ladder("Manifold vacuum", "kPa", v.boosted ? -120 : 0, 80, r.whole(6, 17)),
    value: (x, _y, v, _t, d) => {
      const air = (v.displacementL / v.cylinders) * 1.13 * (v.boosted ? 1.8 : 1);
      const atRail = ((air / 14.2) * (v.boosted ? 1.22 : 1.14)) / ((120 / 6000) * (0.8 + 0.1 * d[0])) / (1 - 0.0042 * Math.min(85, v.ethanolPercent));
      return v.railReference === "manifold" ? atRail : atRail * Math.sqrt((v.railKpa + x) / v.railKpa);
    },
    other: { unit: "lb/h", scale: 0.12599788 },
  },
  "fuel.injector-dead-time": {
    unit: "ms",
    steps: [1 / 128, 0.001, 0.01],
    x: (_, r) => ladder("Battery voltage", "V", r.pick([6, 8]), 16, r.whole(6, 12)),
    value: (x, _y, _v, _t, d) => (0.7 + 0.35 * d[0]) * (14 / x) ** (1.3 + 0.4 * d[1]),
  },
  "fuel.full-load-ratio": {
    unit: "equivalence ratio",
    steps: [1 / 128, 0.005],
    x: coarseRpmAxis,
    value: (x, _y, v, _t, d) => (v.boosted ? 1.19 : 1.105) + 0.03 * d[0] + 0.045 * (x / v.limitRpm),
  },
  "fuel.full-load-throttle": {
    unit: "%",
    steps: [0.5, 0.390625],
    x: coarseRpmAxis,
    value: (x, _y, v, _t, d) => Math.max(38 + 8 * d[0], 80 - 42 * Math.max(0, x / v.limitRpm - 0.2)),
  },
  "fuel.long-trim-enabled": { unit: "0/1", steps: [1], value: () => 1 },
  "idle.target-speed": { unit: "rpm", steps: [12.5, 10, 25], x: coolantAxis, value: (x, _y, v, _t, d) => v.idleRpm + Math.max(0, 70 - x) * (4 + 2.5 * d[0]) },
  "idle.base-airflow": {
    unit: "g/s",
    steps: [1 / 128, 0.01, 0.05],
    x: coolantAxis,
    value: (x, _y, v, _t, d) => v.displacementL * (1.25 + 0.25 * d[0]) * (1 + 1.3 * Math.exp(-(x + 10) / 35)),
  },
  "idle.throttle-follower": {
    unit: "g/s",
    steps: [1 / 128, 0.05],
    x: coarseRpmAxis,
    value: (x, _y, v) => Math.min(0.55 * v.displacementL, Math.max(0, (x - 1100) / 4000) * v.displacementL * 0.7),
  },
  "throttle.area-curve": {
    unit: "mm²",
    steps: [0.05, 0.5],
    x: () => ({
      name: "Throttle opening",
      unit: "%",
      values: Float64Array.from([0, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100]),
    }),
    value: (x, _y, v, _t, d) => v.displacementL * (1.2 + 0.4 * d[0]) * (1 + 1.1 * x + 0.055 * x * x) * (1 - x / 300),
  },
  "spark.main": { unit: "deg", steps: [0.1, 0.25, 0.5], x: rpmAxis, y: loadAxis, value: (x, y, v, _t, d) => sparkOf(x, y, v, d) },
  "spark.low-octane": {
    unit: "deg",
    steps: [0.1, 0.25, 0.5],
    x: rpmAxis,
    y: loadAxis,
    value: (x, y, v, _t, d) => sparkOf(x, y, v, d) - 0.5 - 5 * Math.min(1, y / ((v.displacementL / v.cylinders) * 1.1)),
  },
  "torque.spark-loss": {
    unit: "fraction",
    steps: [1 / 256, 1 / 1024, 0.005],
    x: () => ladder("Spark retard from best", "deg", 0, 44, 12),
    value: (x, _y, _v, _t, d) => Math.min(0.95, 0.00046 * (1 + 0.2 * d[0]) * x * x),
  },
  "torque.shift-reduction": {
    unit: "fraction",
    steps: [1 / 256, 0.01],
    x: (v) => ladder("Shift", "-", 1, v.gears - 1, v.gears - 1),
    y: torqueAxis,
    value: (x, y, v, _t, d) => 0.14 + 0.08 * d[0] - 0.02 * x + 0.26 * (y / v.maxTorqueNm),
  },
  "torque.brake-hold-reduction": { unit: "0/1", steps: [1], value: () => 1 },
  "trans.line-pressure": {
    unit: "kPa",
    steps: [5, 1],
    x: torqueAxis,
    y: (v) => ladder("Gear", "-", 1, v.gears, v.gears),
    value: (x, y, v, _t, d) => (360 - 10 * y) * (1 + (1.9 + 0.5 * d[0]) * (x / v.maxTorqueNm) ** 0.92),
    other: { unit: "psi", scale: 6.894757 },
  },
  "trans.line-pressure-ceiling": { unit: "kPa", steps: [10], value: (_x, _y, _v, _t, d) => 1220 + 160 * d[0] },
  "trans.shift-time": { unit: "s", steps: [0.0125, 0.025, 0.01], x: torqueAxis, value: (x, _y, v, _t, d) => 0.5 + 0.1 * d[0] - 0.23 * (x / v.maxTorqueNm) },
  "trans.shift-speed-up": {
    unit: "km/h",
    steps: [1, 0.5],
    x: (_, r) => ladder("Throttle opening", "%", 0, 100, r.whole(7, 17)),
    y: (v) => ladder("Shift", "-", 1, v.gears - 1, v.gears - 1),
    value: (x, y, v, _t, d) => (14 * 3.7 * 470 * 1.52 ** (y - 1) * (1 + (2.8 + 0.6 * d[0]) * (x / 100) ** 1.35)) / (v.axleRatio * v.tireRevsPerKm),
    other: { unit: "mph", scale: 1.609344 },
  },
  "trans.lockup-duty-minimum": { unit: "%", steps: [0.5], x: torqueAxis, value: (x, _y, v, _t, d) => Math.min(100, 90 + 4 * d[0] + 10 * (x / v.maxTorqueNm)) },
  "limit.engine-speed": { unit: "rpm", steps: [50, 100], value: (_x, _y, v) => v.limitRpm },
  "limit.vehicle-speed": { unit: "km/h", steps: [1, 5], value: (_x, _y, _v, _t, d) => 155 + 95 * d[0], other: { unit: "mph", scale: 1.609344 } },
  "driveline.axle-ratio": { unit: "-", steps: [0.01], value: (_x, _y, v) => v.axleRatio },
  "driveline.tire-revs-per-km": { unit: "1/km", steps: [1], value: (_x, _y, v) => v.tireRevsPerKm },
};

export const FACTORY_ROLES = Object.keys(SHAPES) as Role[];

/** A table together with the grid its controller stores it on and a way to print it. */
export interface FactoryTable {
  readonly table: Table;
  readonly step: number;
}

/** One table of a role; `otherUnit` writes the sheet in the other unit of the trade, if there is one. */
export function drawTable(role: Role, v: FactoryVehicle, random: Random, otherUnit = false): FactoryTable {
  const shape = SHAPES[role]!;
  const step = random.pick(shape.steps);
  const x = shape.x?.(v, random);
  const y = shape.y?.(v, random);
  const draw: Draw = [random.uniform(), random.uniform(), random.uniform()];
  const texture = (amplitude: number): number => amplitude * random.normal() * 0.7;
  const cells: number[] = [];
  for (const yAt of y?.values ?? [0]) for (const xAt of x?.values ?? [0]) cells.push(onGrid(shape.value(xAt, yAt, v, texture, draw), step));
  const plainTable: Table = { title: role, role, unit: shape.unit, x, y, cells: Float64Array.from(cells) };
  return { table: printed(plainTable, otherUnit && shape.other ? { decimals: 6, offset: 0, ...shape.other } : undefined), step };
}

export function hasOtherUnit(role: Role): boolean {
  return SHAPES[role]?.other !== undefined;
}

/** The table as a sheet gives it back: written with six significant digits in its unit and read again. */
export function printed(table: Table, unit?: { readonly unit: string; readonly scale: number; readonly offset: number; readonly decimals: number }): Table {
  const format: CellFormat = unit ?? { unit: table.unit, scale: 1, offset: 0, decimals: 6 };
  const cells = table.cells.map(
    (value) => Number(((value - format.offset) / format.scale).toPrecision(unit === undefined ? 8 : 6)) * format.scale + format.offset,
  );
  let decimals = 0;
  for (const value of cells) {
    const text = String(Number(((value - format.offset) / format.scale).toPrecision(8)));
    decimals = Math.max(decimals, text.includes(".") ? text.length - text.indexOf(".") - 1 : 0);
  }
  return { ...table, cells, format: { ...format, decimals } };
}

/** All tables of a vehicle, as the factory shipped them. */
export function drawCalibration(v: FactoryVehicle, random: Random, otherUnits = false): FactoryTable[] {
  return FACTORY_ROLES.map((role) => drawTable(role, v, random, otherUnits));
}
