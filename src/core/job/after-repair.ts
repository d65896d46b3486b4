import type { FaultId } from "../result/index.ts";

/** Something to measure again once a part was replaced, and what it settles. */
export interface Remeasure {
  /** What answers it: a recording, a sweep, or the outcome of a workshop test. */
  readonly by: "recording" | "sweep" | "test";
  /** Id of the workshop test, where it is one. */
  readonly test?: string;
  readonly what: string;
  readonly settles: string;
}

const IDLE: Remeasure = {
  by: "recording",
  what: "Two minutes of settled warm idle, electrical load off, then on",
  settles: "commanded and learned idle airflow, trims at idle",
};
const WARM_UP: Remeasure = { by: "recording", what: "A cold start and the whole warm-up", settles: "idle air over temperature, trims while warming" };
const DRIVE: Remeasure = {
  by: "recording",
  what: "The same drive as before: steady speeds from light to middle load, trims active",
  settles: "whether the residual that spoke for the fault is gone; corrections that were held can then be made",
};
const FULL_LOAD: Remeasure = {
  by: "sweep",
  what: "One sweep at full load on a dynamometer or closed course, lambda and fuel pressure watched; lift at the first lean or knocking moment",
  settles: "fuel delivery, mixture and knock at load",
};
const KEY_ON: Remeasure = {
  by: "recording",
  what: "Ten seconds with ignition on and engine off, then the start",
  settles: "pressure sensor against the barometer",
};
const test = (id: string, what: string, settles: string): Remeasure => ({ by: "test", test: id, what, settles });
const RESET: Remeasure = {
  by: "recording",
  what: "Clear the learned trims and idle air first, as the controller's maker describes; then let it learn for ten minutes of mixed driving",
  settles: "that what was learned with the fault no longer bends what is seen",
};

/** What each fault's repair asks for; tables fitted with the fault in them are not to be trusted before. Common practice, no published source. */
const AFTER: Readonly<Record<Exclude<FaultId, "healthy">, readonly Remeasure[]>> = {
  "air.unmetered-leak": [RESET, test("smoke-test", "Smoke test of the intake once more", "that the leak is closed and no second one is there"), IDLE, DRIVE],
  "air.throttle-overflow": [
    RESET,
    test("position-sensor-sweep", "Slow sweep of the throttle, both position sensors", "that position and opening belong together"),
    IDLE,
    WARM_UP,
    DRIVE,
  ],
  "air.throttle-restricted": [RESET, IDLE, WARM_UP, DRIVE],
  "air.meter-low": [RESET, IDLE, DRIVE, FULL_LOAD],
  "air.meter-high": [RESET, IDLE, DRIVE, FULL_LOAD],
  "sensor.map-bias": [KEY_ON, RESET, IDLE, DRIVE],
  "fuel.delivery-low": [
    test("fuel-pressure-under-load", "Fuel pressure at idle and through a sweep", "that the rail holds what it should"),
    RESET,
    DRIVE,
    FULL_LOAD,
  ],
  "fuel.injector-flow-mismatch": [RESET, IDLE, DRIVE, FULL_LOAD],
  "fuel.injector-dead-time-mismatch": [RESET, IDLE, DRIVE],
  "exhaust.leak-ahead-of-sensor": [
    test("exhaust-leak-check", "Exhaust ahead of the sensor for leaks, cold and warm", "that the sensor sees exhaust only"),
    RESET,
    IDLE,
    DRIVE,
  ],
  "sensor.oxygen-slow": [RESET, IDLE, DRIVE],
  "cooling.runs-cold": [WARM_UP, DRIVE],
  "start.cam-signal-dropout": [{ by: "recording", what: "Five starts, cold and hot, recorded from key-on", settles: "crank time and cam synchronisation" }],
  "ignition.knock": [DRIVE, FULL_LOAD],
  "electrical.low-voltage": [
    test("battery-and-charging", "Battery and charging voltage, idle and loaded", "that the controller's voltage is what dead times were made for"),
    IDLE,
    DRIVE,
  ],
  "driveline.lockup-slip": [
    { by: "recording", what: "Steady cruise with the converter clutch applied, light to middle load", settles: "slip speed at lock-up" },
    FULL_LOAD,
  ],
};

/** What is to be measured again after a fault was mended; empty for a fault that is not known here. */
export function remeasureAfter(fault: string): readonly Remeasure[] {
  return Object.hasOwn(AFTER, fault) ? AFTER[fault as keyof typeof AFTER] : [];
}
