import { type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";
import { filling, knockLimitDeg } from "./torque.ts";

/** Spark advance: tables, knock control, idle support, torque taken away in shifts. */
export function controlSpark(run: Run, s: State): void {
  const { maps, vehicle } = run;
  if (s.rpm < 350 || s.runS < 0) {
    s.spark = 8;
    s.knockRetard = 0;
    return;
  }
  const main = maps.spark(s.rpm, s.airG);
  const low = maps.lowSpark(s.rpm, s.airG);
  let spark = main + s.knockLearn * Math.min(0, low - main);
  if (s.pedal < 1 && s.speedMs < 2 && s.rpm < s.idleTarget + 500)
    spark += Math.max(-9, Math.min(9, (s.idleTarget - s.rpm) * vehicle.tuning.idleSparkDegPerRpm));
  if (s.shiftCut > 0) {
    const retard = maps.retardFor(s.shiftCut);
    if (!Number.isNaN(retard)) spark -= retard;
  }
  s.spark = spark;
  controlKnock(run, s);
}

/** Knock where advance passes the engine's limit: retard in steps, slow return, and a learned share of the low-octane table. */
function controlKnock(run: Run, s: State): void {
  const { vehicle, random } = run;
  const share = filling(s.airG, run.cylinderL);
  s.knockRetard = Math.max(0, s.knockRetard - 1.1 * STEP_S);
  if (share < 0.3 || s.pulseMs <= 0) return;
  const depositDeg = vehicle.defects.knockDropDeg * Math.min(1, (share - 0.3) / 0.3);
  const over = s.spark - s.knockRetard - (knockLimitDeg(vehicle.engine, s.rpm, share, s.intakeC) - depositDeg);
  const perS = over > 0 ? 1.2 * over : 0.004 * Math.exp(over);
  if (random.uniform() < perS * STEP_S * Math.min(3, s.rpm / 1500)) {
    s.knockRetard = Math.min(12, s.knockRetard + 1 + random.uniform() * 1.6);
    s.knockLearn = Math.min(1, s.knockLearn + 0.012);
  }
}
