import { shiftTo } from "./control-gears.ts";
import { type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";

/** What the plan asks of the driver at this moment. */
export interface Wish {
  readonly kind: "follow" | "floor" | "release" | "park";
  readonly speedMs: number;
  readonly accelerationMs2: number;
  readonly pedalPercent: number;
  readonly holdRpm: number;
}

/** A person's feet: late, a little unsteady, anticipating what the road asks. */
export function drive(run: Run, s: State, wish: Wish): void {
  s.pedalNoise += -s.pedalNoise * (STEP_S / 1.4) + 0.05 * Math.sqrt((2 * STEP_S) / 1.4) * run.noise();
  const wanted = wishedPedal(run, s, wish);
  const rate = wanted > s.pedal ? (wish.kind === "floor" ? 260 : 60) : 140;
  s.pedal += Math.max(-rate * STEP_S, Math.min(rate * STEP_S, wanted - s.pedal));
  if (s.pedal < 0.3) s.pedal = 0;
  if (run.vehicle.transmission.kind === "manual" && run.inDrive) workClutch(run, s, wish);
}

function wishedPedal(run: Run, s: State, wish: Wish): number {
  if (wish.kind === "park") {
    s.brake = 0.3;
    return wish.holdRpm > 0 ? Math.max(0, Math.min(16, 2 + 0.006 * (wish.holdRpm - s.rpm) + 0.0016 * wish.holdRpm)) : 0;
  }
  if (wish.kind === "floor") {
    s.brake = 0;
    return wish.pedalPercent;
  }
  if (wish.kind === "release") {
    s.brake = 0;
    s.pedalIntegral = 0;
    return 0;
  }
  return followPedal(run, s, wish);
}

function followPedal(run: Run, s: State, wish: Wish): number {
  const { body } = run.vehicle;
  const off = wish.speedMs - s.speedMs;
  const wantedMs2 = Math.max(-2.4, Math.min(wish.accelerationMs2, 0.55 * off));
  const gravity = body.massKg * 9.81 * (run.grade + body.rollingShare);
  const force = body.massKg * 1.08 * wantedMs2 + gravity + 0.5 * 1.18 * body.dragAreaM2 * s.speedMs * s.speedMs;
  if (wish.speedMs < 0.2 && s.speedMs < 1.6) {
    s.brake += (0.3 - s.brake) * (STEP_S / 0.35);
    s.pedalIntegral = 0;
    return 0;
  }
  const dragN = 0.018 * body.massKg * 9.81 * (s.gear > 0 ? 1 : 0);
  if (force < -dragN || (wish.speedMs < 0.2 && off < -0.5 && s.speedMs < 9)) {
    s.brake += (Math.min(0.5, Math.max(0, -(force + dragN) / (body.massKg * 7))) - s.brake) * (STEP_S / 0.2);
    s.pedalIntegral = 0;
    return 0;
  }
  s.brake = 0;
  s.pedalIntegral = Math.max(-0.25, Math.min(0.5, s.pedalIntegral + 0.03 * off * STEP_S));
  const overall = Math.max(0.5, s.ratio) * body.axleRatio;
  const mostN = (run.mostNm * overall) / run.tireRadiusM;
  const torqueShare = Math.max(0, Math.min(1.3, force / mostN));
  const airShare = torqueShare * Math.max(0.18, s.rpm / run.vehicle.engine.maximumRpm);
  return Math.max(0, Math.min(95, 100 * (0.92 * airShare ** 0.62 + 0.35 * s.pedalIntegral) * (1 + s.pedalNoise)));
}

/** Clutch and gear lever of a manual gearbox. */
function workClutch(run: Run, s: State, wish: Wish): void {
  const { ratios } = run.vehicle.transmission;
  const idle = s.idleTarget;
  if (s.shiftLeftS > 0) {
    s.clutch = Math.max(0, s.clutch - 6 * STEP_S);
    if (wish.kind !== "floor") s.pedal = Math.min(s.pedal, Math.max(0, s.pedal - 200 * STEP_S));
    else s.pedal = Math.max(0, s.pedal - 500 * STEP_S);
    return;
  }
  const slow = s.turbineRpm < idle - 60;
  const stopping = wish.speedMs < 0.3 && wish.kind !== "floor";
  if (slow && (stopping || s.brake > 0.02)) {
    s.clutch = 0;
    if (s.speedMs < 2 && s.gear !== 1) {
      s.gear = 1;
      s.ratio = ratios[0]!;
    }
    return;
  }
  if (slow) {
    const hold = s.rpm > idle + 150 ? 0.5 : s.rpm < idle - 120 ? -1.6 : 0.12;
    s.clutch = Math.max(0, Math.min(0.45, s.clutch + hold * STEP_S));
    if (s.pedal < 12 && wish.speedMs > 0.3) s.pedal = Math.min(16, s.pedal + 30 * STEP_S);
    return;
  }
  s.clutch = Math.min(1, s.clutch + 1.6 * STEP_S);
  if (s.sinceShiftS < 1.2 || !s.clutchLocked) return;
  const eager = wish.kind === "floor" ? 0.93 : Math.min(0.8, 0.3 + s.pedal / 130);
  const upRpm = Math.max(1900, eager * run.maps.limitRpm);
  const nextRpm = s.gear < ratios.length ? (s.rpm * ratios[s.gear]!) / ratios[s.gear - 1]! : 0;
  if (s.gear < ratios.length && s.rpm > upRpm && nextRpm > 1250) shiftTo(run, s, s.gear + 1, 0.45);
  else if (s.gear > 1 && (s.rpm < 1150 || (s.pedal > 55 && s.rpm < 1700)) && wish.kind !== "release") shiftTo(run, s, s.gear - 1, 0.5);
}
