import batteryAndCharging from "./battery-and-charging.ts";
import camCrankScope from "./cam-crank-scope.ts";
import compressionLeakDown from "./compression-leak-down.ts";
import type { WorkshopTest } from "./define.ts";
import exhaustLeakCheck from "./exhaust-leak-check.ts";
import fuelPressureUnderLoad from "./fuel-pressure-under-load.ts";
import injectorFlowBench from "./injector-flow-bench.ts";
import knockConfirmation from "./knock-confirmation.ts";
import lockupPressure from "./lockup-pressure.ts";
import mapAgainstBarometer from "./map-against-barometer.ts";
import meterSwap from "./meter-swap.ts";
import positionSensorSweep from "./position-sensor-sweep.ts";
import sensorResponse from "./sensor-response.ts";
import smokeTest from "./smoke-test.ts";
import thermostatCheck from "./thermostat-check.ts";
import throttleInspection from "./throttle-inspection.ts";

export { outcomeProbability, type WorkshopTest } from "./define.ts";
export { decidingTest, type RankedTest, rankTests } from "./next-test.ts";
export { outcomesOf } from "./outcomes.ts";

/** Every workshop test, by id. */
export const WORKSHOP_TESTS = [
  batteryAndCharging,
  camCrankScope,
  compressionLeakDown,
  exhaustLeakCheck,
  fuelPressureUnderLoad,
  injectorFlowBench,
  knockConfirmation,
  lockupPressure,
  mapAgainstBarometer,
  meterSwap,
  positionSensorSweep,
  sensorResponse,
  smokeTest,
  thermostatCheck,
  throttleInspection,
] as const satisfies readonly WorkshopTest[];

export type WorkshopTestId = (typeof WORKSHOP_TESTS)[number]["id"];
