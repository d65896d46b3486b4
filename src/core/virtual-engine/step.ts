import { controlAir, controlFuel } from "./control-fuel.ts";
import { controlIdle } from "./control-idle.ts";
import { controlSpark } from "./control-spark.ts";
import { readIntakeSensors, stepIntake } from "./plant-air.ts";
import { stepExhaust, stepMixture } from "./plant-fuel.ts";
import { stepSlow } from "./plant-slow.ts";
import { stepTurning } from "./plant-turning.ts";
import { type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";

/** One step of time for sensors, controller and plant; driver and gears have acted before. */
export function stepEngine(run: Run, s: State): void {
  readIntakeSensors(run, s);
  controlAir(run, s);
  controlIdle(run, s);
  controlFuel(run, s);
  controlSpark(run, s);
  stepIntake(run, s);
  stepMixture(run, s);
  stepExhaust(run, s);
  stepTurning(run, s);
  stepSlow(run, s);
}

export function advanceClock(run: Run, s: State): void {
  s.t += STEP_S;
  run.step++;
  synchronise(run, s);
  if (s.runS >= 0) s.runS += STEP_S;
  else if (s.synced && s.rpm > 380) s.runS = 0;
}

/** Cam and crank signals: the controller injects once it knows the stroke; a failing cam signal makes it late, or loses it. */
function synchronise(run: Run, s: State): void {
  const { camLossesPerMin } = run.vehicle.defects;
  if (s.rpm < 40) {
    s.synced = false;
    run.crankFromRevs = s.crankRevs;
    return;
  }
  if (!s.synced && s.crankRevs - run.crankFromRevs > run.syncRevs) s.synced = true;
  if (camLossesPerMin > 0 && s.t > run.camLostUntilS + 2 && s.runS > 3 && run.random.uniform() < (camLossesPerMin / 60) * STEP_S)
    run.camLostUntilS = s.t + run.random.between(0.05, 0.5);
}
