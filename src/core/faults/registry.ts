import airMeterHigh from "./air/meter-high.ts";
import airMeterLow from "./air/meter-low.ts";
import airThrottleOverflow from "./air/throttle-overflow.ts";
import airThrottleRestricted from "./air/throttle-restricted.ts";
import airUnmeteredLeak from "./air/unmetered-leak.ts";
import type { Fault } from "./define.ts";
import exhaustLeakAheadOfSensor from "./exhaust/leak-ahead-of-sensor.ts";
import fuelDeliveryLow from "./fuel/delivery-low.ts";
import fuelInjectorDeadTimeMismatch from "./fuel/injector-dead-time-mismatch.ts";
import fuelInjectorFlowMismatch from "./fuel/injector-flow-mismatch.ts";
import sensorMapBias from "./sensor/map-bias.ts";
import vehicleHealthy from "./vehicle/healthy.ts";

/** Every story that competes, by id. */
export const FAULT_STORIES: readonly Fault[] = [
  airMeterHigh,
  airMeterLow,
  airThrottleOverflow,
  airThrottleRestricted,
  airUnmeteredLeak,
  exhaustLeakAheadOfSensor,
  fuelDeliveryLow,
  fuelInjectorDeadTimeMismatch,
  fuelInjectorFlowMismatch,
  sensorMapBias,
  vehicleHealthy,
].sort((a, b) => (a.id < b.id ? -1 : 1));
