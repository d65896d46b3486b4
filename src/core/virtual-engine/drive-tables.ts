import type { Random } from "../../base/index.ts";
import type { Table } from "../tables/index.ts";
import { curveOf, gridOf, singleOf, toStep } from "./factory-tables.ts";
import type { VirtualVehicle } from "./vehicle.ts";

/** Tables of torque reduction, transmission, limits and driveline. */
export function driveTables(random: Random, vehicle: VirtualVehicle): Table[] {
  const { engine, body, transmission } = vehicle;
  const mostNm = engine.displacementL * (engine.turbo ? 150 : 92);
  const torques = Array.from({ length: 9 }, (_, i) => Math.round((mostNm * i) / 8));
  const tables = [
    singleOf("torque.brake-hold-reduction", random.chance(0.85) ? 1 : 0),
    singleOf("limit.engine-speed", toStep(engine.maximumRpm - random.between(0, 300), 50)),
    singleOf("limit.vehicle-speed", random.whole(150, 250)),
    singleOf("driveline.axle-ratio", body.axleRatio),
    singleOf("driveline.tire-revs-per-km", body.tireRevsPerKm),
  ];
  if (transmission.kind === "manual") return tables;
  const shifts = Array.from({ length: transmission.ratios.length - 1 }, (_, i) => i + 1);
  const gears = Array.from({ length: transmission.ratios.length }, (_, i) => i + 1);
  const throttles = random.chance(0.5) ? Array.from({ length: 17 }, (_, i) => Math.round(6.25 * i)) : Array.from({ length: 11 }, (_, i) => 10 * i);
  const lightRpm = random.between(1550, 2000);
  const fullRpm = engine.maximumRpm * random.between(0.88, 0.94);
  const pressureBase = random.between(300, 400);
  const pressureGain = random.between(600, 850);
  const first = random.between(0.1, 0.15);
  return [
    ...tables,
    gridOf("torque.shift-reduction", shifts, torques, (shift, nm) => toStep(Math.max(0.03, first - 0.018 * shift + (0.26 * nm) / mostNm), 1 / 256)),
    gridOf("trans.line-pressure", torques, gears, (nm, gear) =>
      toStep(pressureBase + pressureGain * (nm / mostNm) ** 0.85 * (1 - 0.035 * (gear - 1)) - 8 * gear, 5),
    ),
    singleOf("trans.line-pressure-ceiling", toStep(pressureBase + pressureGain + random.between(20, 140), 10)),
    curveOf("trans.shift-time", torques, (nm) => toStep(0.5 - (0.22 * nm) / mostNm, 0.0125)),
    gridOf("trans.shift-speed-up", throttles, shifts, (throttle, shift) => {
      const rpm = lightRpm * (1 + 0.05 * (shift - 1)) + (fullRpm - lightRpm * (1 + 0.05 * (shift - 1))) * (throttle / 100) ** 1.45;
      return Math.round(kmhAt(vehicle, rpm, transmission.ratios[shift - 1]!));
    }),
    curveOf("trans.lockup-duty-minimum", torques, (nm) => toStep(Math.min(100, 94 + (7 * nm) / (0.8 * mostNm)), 0.5)),
  ];
}

/** Road speed at an engine speed in a gear, nothing slipping [km/h]. @source PH-15 */
export function kmhAt(vehicle: VirtualVehicle, rpm: number, ratio: number): number {
  return (60 * rpm) / (ratio * vehicle.body.axleRatio * vehicle.body.tireRevsPerKm);
}
