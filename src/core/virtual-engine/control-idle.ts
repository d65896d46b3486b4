import { flowFunction } from "./gas.ts";
import { type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";

/** Idle airflow: base by coolant temperature, learned part, proportional part, follower on the road; and the throttle opening for it. */
export function controlIdle(run: Run, s: State): void {
  const { maps, vehicle } = run;
  const { tuning, ambient } = vehicle;
  s.idleTarget = maps.idleRpm(s.ectSensor);
  const error = s.idleTarget - s.rpm;
  const atIdle = s.runS > 1 && s.pedal < 1 && s.rpm < s.idleTarget + 260;
  s.idleFiltered += ((atIdle ? error : 0) - s.idleFiltered) * (STEP_S / 0.12);
  const proportional = atIdle
    ? Math.max(-0.5, Math.min(1.2, s.idleFiltered * (tuning.idleProportionalGpsPerRpm / vehicle.engine.displacementL))) * vehicle.engine.displacementL
    : 0;
  if (atIdle && s.runS > 8 && s.speedMs < 1.2 && s.ectSensor > 55 && Math.abs(error) < 220) {
    const change = tuning.idleLearnPerS * Math.max(-60, Math.min(60, error)) * STEP_S;
    s.idleAdapt = Math.max(-tuning.idleLearnLimitGps, Math.min(tuning.idleLearnLimitGps, s.idleAdapt + change));
  }
  const start = s.runS < 0 ? 0.9 * vehicle.engine.displacementL : 0.5 * vehicle.engine.displacementL * Math.exp(-s.runS / 3.5);
  const follower = s.speedMs > 1 || s.pedal > 2 ? maps.followerGps(s.rpm) : 0;
  const inGear = run.inDrive && s.speedMs < 6 ? 1 : 0;
  s.dragFelt += (inGear - s.dragFelt) * (STEP_S / 0.5);
  const load = tuning.accessoryGps * run.load + tuning.dragAirShare * run.dragAirGps * s.dragFelt;
  const command = maps.idleAirGps(s.ectSensor) + s.idleAdapt + proportional + start + follower + load;
  s.idleCommand = Math.max(0.12 * maps.idleAirGps(s.ectSensor), command);
  const density = ambient.pressureKpa / Math.sqrt(287.05 * (s.iatSensor + 273.15));
  const psi = Math.max(0.2, flowFunction(Math.min(0.98, s.mapSensor / ambient.pressureKpa)));
  const idlePercent = maps.openingPercent(s.idleCommand / (density * psi));
  const wanted = run.keyOnS > 0.25 ? idlePercent + (100 - idlePercent) * pedalShare(s.pedal) : 3;
  s.throttleCommand = Math.max(0, Math.min(100, limited(run, s, wanted)));
}

function pedalShare(pedal: number): number {
  const p = Math.max(0, (pedal - 0.8) / 99.2);
  return 0.7 * p + 0.3 * p * p;
}

function limited(run: Run, s: State, wanted: number): number {
  const { limitKmh } = run.maps;
  const kmh = s.speedMs * 3.6 * run.maps.speedScale;
  return kmh < limitKmh - 3 ? wanted : Math.min(wanted, Math.max(3, wanted * (1 - (kmh - limitKmh + 3) / 6)));
}
