import type { Random } from "../../base/index.ts";
import { type Calibration, calibrationOf } from "../tables/index.ts";
import { driveTables } from "./drive-tables.ts";
import { airTables, fuelTables, idleTables, sparkTables } from "./factory-tables.ts";
import type { VirtualVehicle } from "./vehicle.ts";

/** The factory's calibration for the engine as it left the factory: right to a per cent or two, smoothly wrong by that. */
export function factoryCalibration(random: Random, vehicle: VirtualVehicle): Calibration {
  return calibrationOf([
    ...airTables(random, vehicle),
    ...fuelTables(random, vehicle),
    ...idleTables(random, vehicle),
    ...sparkTables(random, vehicle),
    ...driveTables(random, vehicle),
  ]);
}
