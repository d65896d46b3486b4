import { type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";

/** Coolant, oil, heat soak of the intake, battery: what changes over seconds and minutes. Figures common practice, no published source. */
export function stepSlow(run: Run, s: State): void {
  const { thermal, defects, ambient, fuel } = run.vehicle;
  const heatKw = s.rpm > 200 ? s.fuelGps * fuel.heatingKjPerG * 0.27 + 0.25 * run.vehicle.engine.displacementL : 0;
  const open = Math.max(defects.thermostatOpenShare, Math.min(1, Math.max(0, (s.coolantC - thermal.thermostatC) / 9)));
  const fan = s.coolantC > thermal.thermostatC + 10 ? 1 : 0;
  const wind = 0.12 + 0.055 * Math.min(30, s.speedMs) + 0.25 * fan;
  const lossKw = (0.018 + 0.0012 * s.speedMs + open * wind * (0.6 + 0.12 * run.vehicle.engine.displacementL)) * (s.coolantC - ambient.temperatureC);
  s.coolantC += ((heatKw - lossKw) / thermal.capacityKjPerK) * STEP_S;
  s.oilC += ((s.coolantC + 4 - s.oilC) / 90 + (s.rpm > 200 ? 0.02 : 0)) * STEP_S;
  const soakGoal = 2.2 + (thermal.soakC * Math.max(0, s.coolantC - ambient.temperatureC)) / 65 / (1 + s.speedMs / 2.2);
  s.soakC += ((soakGoal - s.soakC) / (s.speedMs > 3 ? 45 : 75)) * STEP_S;
  stepBattery(run, s);
}

function stepBattery(run: Run, s: State): void {
  const { defects } = run.vehicle;
  const restV = 12.5 - 0.35 * defects.batterySagV;
  let goal = restV;
  let lag = 0.4;
  if (run.starter) {
    goal = 10.4 - defects.batterySagV;
    lag = 0.05;
  } else if (s.rpm > 450) {
    const share = Math.min(1, s.rpm / 1300);
    goal = 14.25 - defects.chargingV * (1.25 - 0.35 * share) - (run.load * 0.5 + 0.15) * (1 - share) * (1 + 0.7 * defects.chargingV);
    lag = 0.5;
  }
  s.batteryV += ((goal - s.batteryV) * STEP_S) / lag;
}
