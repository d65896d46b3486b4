import { type Random, seededRandom } from "../../base/index.ts";
import type { Recording } from "../recordings/index.ts";
import type { Calibration } from "../tables/index.ts";
import { controlGears } from "./control-gears.ts";
import type { DrivePlan, Segment } from "./drive-plan.ts";
import { drive, type Wish } from "./driver.ts";
import { type Dwell, dwellOf, emptyDwell } from "./dwell.ts";
import { type LogFormat, Logger } from "./logger.ts";
import { memoryOf, prepareRun, type Run, STEP_S } from "./run.ts";
import { freshMemory, initialState, type Memory, type StartTemperatures, type State } from "./state.ts";
import { advanceClock, stepEngine } from "./step.ts";
import type { VirtualVehicle } from "./vehicle.ts";

export interface Simulated {
  readonly recording: Recording;
  /** What the controller remembers at key-off. */
  readonly memory: Memory;
  readonly end: StartTemperatures;
  /** Where the engine ran, in the axes of the calibration's own tables. */
  readonly dwell: Dwell;
}

export interface SimulateOptions {
  readonly memory?: Memory;
  readonly start?: StartTemperatures;
  readonly format: LogFormat;
}

/** Runs a vehicle with a calibration over a plan and returns the recording that a logger would have made. */
export function simulateRecording(vehicle: VirtualVehicle, calibration: Calibration, plan: DrivePlan, random: Random, options: SimulateOptions): Simulated {
  const memory = options.memory ?? freshMemory();
  const { ambient } = vehicle;
  const start =
    options.start ??
    (plan.warmStart
      ? { coolantC: vehicle.thermal.thermostatC - random.between(0, 6), oilC: 85, soakC: random.between(7, 13) }
      : { coolantC: ambient.temperatureC + random.between(0, 2), oilC: ambient.temperatureC, soakC: 0 });
  const run = prepareRun(vehicle, calibration, memory, random);
  const s = initialState(start, ambient, memory);
  const logger = new Logger(options.format, run, seededRandom(random.whole(1, 2 ** 31)));
  const dwell = emptyDwell(calibration);
  for (const segment of plan.segments)
    runSegment(run, s, segment, (state) => {
      logger.offer(state);
      dwellOf(dwell, run, state);
    });
  return { recording: logger.recording(plan.name), memory: memoryOf(run, s), end: { coolantC: s.coolantC, oilC: s.oilC, soakC: s.soakC }, dwell };
}

/** Drives without recording, so that the controller has learned what it would have before the vehicle came in. */
export function learnedMemory(vehicle: VirtualVehicle, calibration: Calibration, plan: DrivePlan, random: Random): Memory {
  const run = prepareRun(vehicle, calibration, freshMemory(), random);
  const s = initialState({ coolantC: 70, oilC: 65, soakC: 4 }, vehicle.ambient, freshMemory());
  for (const segment of plan.segments) runSegment(run, s, segment, () => {});
  return memoryOf(run, s);
}

function runSegment(run: Run, s: State, segment: Segment, watch: (s: State) => void): void {
  const from = s.t;
  let targetMs = s.speedMs;
  let stalledS = 0;
  const phase = run.random.uniform() * 6.28;
  for (;;) {
    const elapsed = s.t - from;
    if (finished(segment, s, run, elapsed)) break;
    setRun(run, s, segment, elapsed, phase);
    if (segment.kind === "drive") targetMs = slew(targetMs, segment.kmh / 3.6, segment.accelerationMs2);
    stalledS = s.rpm < 120 && segment.kind !== "key-on" && segment.kind !== "crank" ? stalledS + STEP_S : 0;
    // A stalled engine is cranked again after a moment, as anyone would.
    if (stalledS > 1.5) restart(run, s);
    step(run, s, wishOf(segment, targetMs, s));
    watch(s);
  }
}

function slew(value: number, goal: number, rate: number): number {
  return value + Math.max(-1.7 * rate * STEP_S, Math.min(rate * STEP_S, goal - value));
}

function restart(run: Run, s: State): void {
  run.starter = true;
  s.runS = -1;
  s.gear = 0;
}

function finished(segment: Segment, s: State, run: Run, elapsed: number): boolean {
  switch (segment.kind) {
    case "crank":
      return (s.rpm > 520 && s.runS > 0.5) || elapsed > 12;
    case "full-load":
      return elapsed > segment.durationS || s.speedMs * 3.6 > segment.untilKmh;
    case "coast":
      return elapsed > segment.durationS || s.speedMs * 3.6 < segment.untilKmh;
    default:
      return elapsed > segment.durationS && !run.starter;
  }
}

function setRun(run: Run, s: State, segment: Segment, elapsed: number, phase: number): void {
  run.keyOnS += STEP_S;
  if (segment.kind === "crank" && s.runS < 0) run.starter = true;
  if (run.starter && s.rpm > 480) run.starter = false;
  run.inDrive = (segment.kind === "drive" || segment.kind === "full-load" || segment.kind === "coast") && !run.starter;
  const load = "load" in segment ? (segment.load ?? 0) : 0;
  run.load += (load - run.load) * (STEP_S / 0.4);
  if (segment.kind === "drive") run.grade = (segment.gradePercent / 100) * Math.sin((2 * Math.PI * elapsed) / segment.gradePeriodS + phase);
  else run.grade *= 1 - STEP_S / 3;
}

function wishOf(segment: Segment, targetMs: number, _s: State): Wish {
  switch (segment.kind) {
    case "drive":
      return { kind: "follow", speedMs: targetMs, accelerationMs2: segment.accelerationMs2 * 1.15, pedalPercent: 0, holdRpm: 0 };
    case "full-load":
      return { kind: "floor", speedMs: 60, accelerationMs2: 5, pedalPercent: segment.pedalPercent, holdRpm: 0 };
    case "coast":
      return { kind: "release", speedMs: 3, accelerationMs2: 1, pedalPercent: 0, holdRpm: 0 };
    case "park":
      return { kind: "park", speedMs: 0, accelerationMs2: 1, pedalPercent: 0, holdRpm: segment.holdRpm ?? 0 };
    default:
      return { kind: "park", speedMs: 0, accelerationMs2: 1, pedalPercent: 0, holdRpm: 0 };
  }
}

function step(run: Run, s: State, wish: Wish): void {
  advanceClock(run, s);
  drive(run, s, wish);
  controlGears(run, s);
  stepEngine(run, s);
}
