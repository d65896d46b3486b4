import type { Random } from "../../base/index.ts";
import { clamp } from "../../base/index.ts";
import { type Axis, ROLES, type Role, type Table } from "../tables/index.ts";
import { designFlowGps } from "./air-meter.ts";
import { heatingShare } from "./charge.ts";
import { deadTimeMs, injectorFlowGps } from "./injector.ts";
import { neededVeFraction } from "./needed-ve.ts";
import { steadyIdle } from "./steady-idle.ts";
import { bestAdvanceDeg, factoryKnockDeg, filling } from "./torque.ts";
import type { VirtualVehicle } from "./vehicle.ts";

/** Rounds to a step: what the number format of a controller's memory does. */
export function toStep(value: number, step: number): number {
  return Number((Math.round(value / step) * step).toPrecision(12));
}

export function axisOf(role: Role, direction: "x" | "y", values: readonly number[]): Axis {
  const described = (ROLES[role] as { x?: { name: string; unit: string }; y?: { name: string; unit: string } })[direction];
  return { name: described?.name ?? direction, unit: described?.unit ?? "", values: Float64Array.from(values) };
}

export function singleOf(role: Role, value: number): Table {
  return { title: ROLES[role].name, role, unit: ROLES[role].unit, cells: Float64Array.of(value) };
}

export function curveOf(role: Role, x: readonly number[], cell: (x: number) => number): Table {
  return { title: ROLES[role].name, role, unit: ROLES[role].unit, x: axisOf(role, "x", x), cells: Float64Array.from(x, cell) };
}

export function gridOf(role: Role, x: readonly number[], y: readonly number[], cell: (x: number, y: number) => number): Table {
  return {
    title: ROLES[role].name,
    role,
    unit: ROLES[role].unit,
    x: axisOf(role, "x", x),
    y: axisOf(role, "y", y),
    cells: Float64Array.from(y.flatMap((b) => x.map((a) => cell(a, b)))),
  };
}

const range = (from: number, to: number, step: number): number[] =>
  Array.from({ length: Math.floor((to - from) / step + 1e-9) + 1 }, (_, i) => from + i * step);

/** Smooth relative deviation along a coordinate, standard deviation about `size`. */
function smoothNoise(random: Random, size: number, span: number): (at: number) => number {
  const terms = Array.from({ length: 3 }, () => ({
    a: size * 0.8 * random.normal(),
    k: (2 * Math.PI) / (span * random.between(0.5, 2)),
    p: random.between(0, 6.28),
  }));
  return (at) => terms.reduce((sum, t) => sum + t.a * Math.cos(t.k * at + t.p), 0);
}

/** Tables of air, as the factory made them for the unmodified engine at a mild day. */
export function airTables(random: Random, vehicle: VirtualVehicle): Table[] {
  const { engine, meter } = vehicle;
  const heatingNoise = smoothNoise(random, 0.006, 4);
  const heatingAxis = random.pick([
    [0, 2, 4, 6, 9, 13, 20, 30, 45, 65, 95, 140, 200],
    [0, 3, 6, 10, 15, 25, 40, 60, 90, 140, 220],
    [0, 2.5, 5, 7.5, 10, 15, 20, 30, 50, 80, 120, 180, 260, 350],
  ]);
  const blend = curveOf("air.charge-temperature-blend", heatingAxis, (g) =>
    clamp(toStep(heatingShare(engine, g) + heatingNoise(Math.log(g + 1)), 0.001), 0.005, 0.9),
  );
  const highestKpa = engine.turbo ? toStep(100 + engine.turbo.targetGaugeKpa + 15, 5) : random.pick([100, 105, 110]);
  const speeds = drawSpeedAxis(random, engine.maximumRpm);
  const pressures = engine.turbo
    ? range(random.pick([15, 20]), highestKpa, random.pick([10, 15]))
    : range(random.pick([15, 20, 20]), highestKpa, random.pick([5, 5, 10]));
  const step = random.pick([0.01, 0.1, 0.1, 0.5 / 4, 0.2]);
  const tableNoise = drawTableNoise(random, 0.004);
  const ve = gridOf("air.ve", speeds, pressures, (rpm, kpa) =>
    toStep(
      100 *
        neededVeFraction(vehicle, vehicle.factoryBreathing, blend, { rpm, mapKpa: kpa }, { pressureKpa: 99, temperatureC: 22, relativeHumidityPercent: 40 }) *
        (1 + tableNoise(rpm, kpa)),
      step,
    ),
  );
  const tables = [blend, ve];
  if (vehicle.outfit.meter)
    tables.push(
      curveOf("air.meter-curve", range(meter.lowestHz, meter.highestHz, meter.stepHz), (hz) => Math.max(1 / 128, toStep(designFlowGps(meter, hz), 1 / 128))),
    );
  tables.push(singleOf("air.model-switch-speed", vehicle.switchRpm));
  return tables;
}

function drawTableNoise(random: Random, size: number): (rpm: number, kpa: number) => number {
  const a = smoothNoise(random, size, 3000);
  const b = smoothNoise(random, size, 60);
  return (rpm, kpa) => a(rpm) + b(kpa);
}

function drawSpeedAxis(random: Random, maximumRpm: number): number[] {
  const style = random.whole(0, 3);
  if (style === 0) return range(500, toStep(maximumRpm + 400, 500), 500);
  if (style === 1) return range(400, toStep(maximumRpm + 200, 400), 400);
  if (style === 2) return [...range(400, 1600, 200), ...range(2000, toStep(maximumRpm + 200, 400), 400)];
  return [400, 600, 800, 1000, 1250, 1500, 1750, 2000, 2500, 3000, 3500, 4000, 4500, 5000, 5500, 6000, 6500, 7000, 7500].filter((v) => v <= maximumRpm + 300);
}

/** Injection tables by the square-root law and the dead-time power law. @source PH-04, PH-05 */
export function fuelTables(random: Random, vehicle: VirtualVehicle): Table[] {
  const { tableInjection: injection, engine } = vehicle;
  const vacuums = engine.turbo ? range(-140, 80, 20) : range(0, 80, random.pick([5, 10]));
  const volts = random.pick([range(6, 17, 1), [8, 10, 11, 12, 13, 14, 15, 16], range(7, 16, 1.5)]);
  const flowStep = random.pick([1 / 128, 1 / 256, 0.01]);
  const timeStep = random.pick([1 / 128, 0.01, 0.004]);
  const speeds = range(800, toStep(engine.maximumRpm + 200, 800), 800);
  const richest = random.between(1.1, 1.16) + (engine.turbo ? 0.05 : 0);
  const sliding = random.between(0.02, 0.05);
  const early = random.between(36, 52);
  const late = early + random.between(18, 38);
  const dead =
    injection.deadTimePerKpa > 0
      ? gridOf("fuel.injector-dead-time", volts, range(0, 80, 20), (v, kpa) => toStep(deadTimeMs(injection, v, kpa), timeStep))
      : curveOf("fuel.injector-dead-time", volts, (v) => toStep(deadTimeMs(injection, v, 0), timeStep));
  return [
    singleOf("fuel.stoich", vehicle.fuel.tableStoich),
    curveOf("fuel.injector-flow", vacuums, (kpa) => toStep(injectorFlowGps(injection, injection.railKpa, kpa), flowStep)),
    dead,
    curveOf("fuel.full-load-ratio", speeds, (rpm) => toStep(richest + (sliding * rpm) / 7000, 1 / 128)),
    curveOf("fuel.full-load-throttle", speeds, (rpm) => toStep(clamp(late - ((late - early) * (rpm - 1600)) / 3200, early, late), 0.5)),
    singleOf("fuel.long-trim-enabled", random.chance(0.93) ? 1 : 0),
  ];
}

const COOLANTS = [-40, -28, -16, -4, 8, 20, 32, 44, 56, 68, 80, 92, 104, 116];

/** Idle and throttle tables; base airflow is what the factory's engine needs at each temperature. */
export function idleTables(random: Random, vehicle: VirtualVehicle): Table[] {
  const coolants = random.chance(0.6) ? COOLANTS : range(-30, 120, random.pick([10, 15]));
  const factoryIdle = vehicle.idleRpm - (vehicle.engine.cam.changed ? 90 * vehicle.engine.cam.wild : 0);
  const hot = toStep(factoryIdle, 12.5);
  const coldRise = random.between(420, 700);
  const target = (c: number): number => toStep(hot + (c >= 66 ? 0 : coldRise * clamp((66 - c) / 106, 0, 1) ** 1.05), 12.5);
  const spark = (rpm: number, airG: number): number => idleSparkDeg(vehicle, rpm, airG);
  const area = vehicle.engine.throttle;
  const areaNoise = smoothNoise(random, 0.008, 6);
  const airStep = random.pick([1 / 128, 0.02, 0.05]);
  const fixedError = 1 + 0.012 * random.normal();
  const air = (c: number): number =>
    fixedError *
    steadyIdle(vehicle, vehicle.factoryBreathing, { rpm: target(c), coolantC: c, intakeC: c > 60 ? 30 : c, ambientKpa: 99, sparkDeg: spark }).airGps;
  const followMost = random.between(0.25, 0.6) * vehicle.engine.displacementL;
  return [
    curveOf("idle.target-speed", coolants, target),
    curveOf("idle.base-airflow", coolants, (c) => toStep(air(c), airStep)),
    curveOf("idle.throttle-follower", range(800, toStep(vehicle.engine.maximumRpm + 200, 800), 800), (rpm) =>
      toStep(followMost * clamp((rpm - 800) / 3600, 0, 1), 1 / 128),
    ),
    curveOf("throttle.area-curve", area.x, (percent) => toStep(area.y[area.x.indexOf(percent)]! * (1 + areaNoise(Math.log(percent + 1))), 0.05)),
  ];
}

/** Advance of the main table before rounding [deg]: best torque less a margin, the knock limit, and a dip that keeps reserve at idle. */
export function mainSparkDeg(vehicle: VirtualVehicle, rpm: number, airG: number): number {
  const { engine } = vehicle;
  const share = filling(airG, engine.displacementL / engine.cylinders);
  const driving = Math.min(bestAdvanceDeg(engine, rpm, share) - 1.5, factoryKnockDeg(engine, rpm, share), 46);
  const idleDip = 13 * clamp((1500 - rpm) / 500, 0, 1) * clamp((0.5 - share) / 0.15, 0, 1);
  return Math.max(-2, driving - idleDip);
}

export function idleSparkDeg(vehicle: VirtualVehicle, rpm: number, airG: number): number {
  return mainSparkDeg(vehicle, rpm, airG);
}

/** Spark tables and the torque model's curve. */
export function sparkTables(random: Random, vehicle: VirtualVehicle): Table[] {
  const { engine } = vehicle;
  const cylinderL = engine.displacementL / engine.cylinders;
  const most = 1.184 * cylinderL * (engine.turbo ? 1.9 : 1.1);
  const loadStep = [0.04, 0.05, 0.06, 0.08].find((s) => most / s <= 20) ?? 0.1;
  const loads = range(toStep(0.18 * most, 0.01), most, loadStep);
  const speeds = random.chance(0.5)
    ? range(400, toStep(engine.maximumRpm + 200, 400), 400)
    : [400, 600, 800, 1000, 1200, 1400, 1600, 2000, 2400, 2800, 3200, 3600, 4000, 4600, 5200, 5800, 6400, 7000].filter((v) => v <= engine.maximumRpm + 600);
  const step = random.pick([0.1, 0.25, 0.5]);
  const lower = random.between(2.5, 5);
  return [
    gridOf("spark.main", speeds, loads, (rpm, g) => toStep(mainSparkDeg(vehicle, rpm, g), step)),
    gridOf("spark.low-octane", speeds, loads, (rpm, g) =>
      toStep(mainSparkDeg(vehicle, rpm, g) - 0.5 - (lower - 0.5) * clamp((filling(g, cylinderL) - 0.35) / 0.3, 0, 1), step),
    ),
    curveOf("torque.spark-loss", range(0, 44, 4), (deg) => toStep(Math.min(0.95, engine.sparkLossPerDeg2 * deg * deg), 1 / 1024)),
  ];
}
