import type { Random } from "../../base/index.ts";
import { type Calibration, calibrationOf, lookUpCurve, type Role, type Table, withCells } from "../tables/index.ts";
import { drawRipples } from "./breathing.ts";
import { idleSparkDeg, toStep } from "./factory-tables.ts";
import { neededVeFraction } from "./needed-ve.ts";
import { steadyIdle } from "./steady-idle.ts";
import type { VirtualVehicle } from "./vehicle.ts";

/** What the last hand left in the controller, beyond the factory's tables. */
export interface Distortion {
  /** `fitted`: rewritten for the engine as built, right to a per cent or two. `old-cam`: still the factory camshaft's. `smooth`: smoothly wrong. `none`: factory's. */
  readonly ve: "fitted" | "old-cam" | "smooth" | "none";
  /** Size of a smooth VE error, standard deviation. */
  readonly veSpread: number;
  /** How broad the waves of a smooth VE error are, as a multiple of those of an engine's own small features; 1 when left out. */
  readonly veBreadth?: number;
  /** Meter curve still that of the original tube although another is fitted. */
  readonly meter: boolean;
  /** Base airflow not set for the engine as built. */
  readonly idle: boolean;
}

/** Distortion of an ordinary packet: a changed camshaft has been written into the tables, more or less well. */
export function ordinaryDistortion(vehicle: VirtualVehicle, random: Random): Distortion {
  return {
    ve: vehicle.engine.cam.changed ? "fitted" : "none",
    veSpread: vehicle.engine.cam.changed ? random.between(0.006, 0.025) : 0.01,
    meter: false,
    idle: false,
  };
}

/** The calibration as received: reference tables with VE, idle and spark written for the engine as built, as far as the distortion lets them be right. */
export function asReceivedCalibration(random: Random, vehicle: VirtualVehicle, reference: Calibration, distortion: Distortion): Calibration {
  const changed: Partial<Record<Role, Table>> = {};
  const ve = reference.byRole["air.ve"];
  const blend = reference.byRole["air.charge-temperature-blend"];
  if (ve !== undefined && blend !== undefined) {
    if (distortion.ve === "fitted") changed["air.ve"] = fittedVe(random, vehicle, ve, blend, distortion.veSpread);
    if (distortion.ve === "smooth") changed["air.ve"] = withSmoothError(random, ve, distortion);
  }
  const target = reference.byRole["idle.target-speed"];
  const base = reference.byRole["idle.base-airflow"];
  if (vehicle.engine.cam.changed && target?.x !== undefined && base?.x !== undefined) {
    const raised = raisedTarget(vehicle, target);
    changed["idle.target-speed"] = raised;
    if (!distortion.idle) changed["idle.base-airflow"] = idleAirFor(random, vehicle, base, raised, 0.03);
  }
  // With another camshaft the factory's base airflow is wrong enough as it stands.
  if (distortion.idle && base !== undefined && !vehicle.engine.cam.changed)
    changed["idle.base-airflow"] = wrongIdle(random, changed["idle.base-airflow"] ?? base);
  return replaceTables(reference, changed);
}

/** The same calibration with some tables replaced. */
export function replaceTables(calibration: Calibration, changed: Readonly<Partial<Record<Role, Table>>>): Calibration {
  return calibrationOf(calibration.tables.map((t) => (t.role === undefined ? t : (changed[t.role] ?? t))));
}

function cellsOf(table: Table, cell: (x: number, y: number, before: number) => number): Table {
  const xs = table.x?.values ?? Float64Array.of(0);
  const ys = table.y?.values ?? Float64Array.of(0);
  return withCells(
    table,
    table.cells.map((before, i) => cell(xs[i % xs.length]!, ys[Math.floor(i / xs.length)]!, before)),
  );
}

function rippleAt(ripples: ReturnType<typeof drawRipples>, rpm: number, kpa: number): number {
  return ripples.reduce((sum, r) => sum + r.amplitude * Math.cos(r.perRpm * rpm + r.perKpa * kpa + r.phase), 0);
}

function fittedVe(random: Random, vehicle: VirtualVehicle, ve: Table, blend: Table, spread: number): Table {
  const ripples = drawRipples(random, spread);
  return cellsOf(ve, (rpm, mapKpa) =>
    toStep(100 * neededVeFraction(vehicle, vehicle.engine.breathing, blend, { rpm, mapKpa }, vehicle.ambient) * (1 + rippleAt(ripples, rpm, mapKpa)), 0.1),
  );
}

function withSmoothError(random: Random, ve: Table, { veSpread, veBreadth = 1 }: Distortion): Table {
  const ripples = drawRipples(random, veSpread).map((ripple) => ({ ...ripple, perRpm: ripple.perRpm / veBreadth, perKpa: ripple.perKpa / veBreadth }));
  const common = 1 + 0.5 * veSpread * random.normal();
  return cellsOf(ve, (rpm, kpa, before) => toStep(before * common * (1 + rippleAt(ripples, rpm, kpa)), 0.1));
}

function raisedTarget(vehicle: VirtualVehicle, target: Table): Table {
  const hottest = target.cells[target.cells.length - 1]!;
  const rise = vehicle.idleRpm - hottest;
  return cellsOf(target, (coolantC, _y, before) => toStep(before + rise * (coolantC > 40 ? 1 : 0.6), 12.5));
}

function idleAirFor(random: Random, vehicle: VirtualVehicle, base: Table, target: Table, spread: number): Table {
  const off = 1 + spread * random.normal();
  const spark = (rpm: number, airG: number): number => idleSparkDeg(vehicle, rpm, airG);
  return cellsOf(base, (coolantC) => {
    const rpm = lookUpCurve(target, coolantC);
    const { airGps } = steadyIdle(vehicle, vehicle.engine.breathing, {
      rpm,
      coolantC,
      intakeC: coolantC > 60 ? 30 : coolantC,
      ambientKpa: vehicle.ambient.pressureKpa,
      sparkDeg: spark,
    });
    return toStep(airGps * off, 1 / 128);
  });
}

function wrongIdle(random: Random, base: Table): Table {
  const factor = random.chance(0.5) ? random.between(0.78, 0.93) : random.between(1.07, 1.2);
  const tilt = random.between(-0.1, 0.1);
  return cellsOf(base, (coolantC, _y, before) => toStep(before * factor * (1 + (tilt * (coolantC - 60)) / 60), 1 / 128));
}
