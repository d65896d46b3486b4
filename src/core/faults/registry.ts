import airMeterHigh from "./air/meter-high.ts";
import airMeterLow from "./air/meter-low.ts";
import airThrottleOverflow from "./air/throttle-overflow.ts";
import airThrottleRestricted from "./air/throttle-restricted.ts";
import airUnmeteredLeak from "./air/unmetered-leak.ts";
import coolingRunsCold from "./cooling/runs-cold.ts";
import type { Fault } from "./define.ts";
import drivelineLockupSlip from "./driveline/lockup-slip.ts";
import electricalLowVoltage from "./electrical/low-voltage.ts";
import exhaustLeakAheadOfSensor from "./exhaust/leak-ahead-of-sensor.ts";
import fuelDeliveryLow from "./fuel/delivery-low.ts";
import fuelInjectorDeadTimeMismatch from "./fuel/injector-dead-time-mismatch.ts";
import fuelInjectorFlowMismatch from "./fuel/injector-flow-mismatch.ts";
import ignitionKnock from "./ignition/knock.ts";
import sensorMapBias from "./sensor/map-bias.ts";
import sensorOxygenSlow from "./sensor/oxygen-slow.ts";
import startCamSignalDropout from "./start/cam-signal-dropout.ts";
import vehicleHealthy from "./vehicle/healthy.ts";

/** Every story that competes, by id. */
export const FAULT_STORIES: readonly Fault[] = [
  airMeterHigh,
  airMeterLow,
  airThrottleOverflow,
  airThrottleRestricted,
  airUnmeteredLeak,
  coolingRunsCold,
  drivelineLockupSlip,
  electricalLowVoltage,
  exhaustLeakAheadOfSensor,
  fuelDeliveryLow,
  fuelInjectorDeadTimeMismatch,
  fuelInjectorFlowMismatch,
  ignitionKnock,
  sensorMapBias,
  sensorOxygenSlow,
  startCamSignalDropout,
  vehicleHealthy,
].sort((a, b) => (a.id < b.id ? -1 : 1));
