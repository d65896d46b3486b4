import { meterHz } from "./air-meter.ts";
import { breathingAt } from "./breathing.ts";
import { heatingShare } from "./charge.ts";
import { AIR_J_PER_G_K, orificeGps } from "./gas.ts";
import { type Run, STEP_S } from "./run.ts";
import type { State } from "./state.ts";

/**
 * One step of the intake: throttle plate, charge pressure, manifold, meter.
 *
 * Manifold: dp/dt = R T/V (ṁ_throttle + ṁ_leak − ṁ_cylinders), isothermal (PH-07), backward Euler with Newton steps, because at full
 * load its time constant is well under the step.
 */
export function stepIntake(run: Run, s: State): void {
  const { vehicle, breathing } = run;
  const { engine, ambient, defects } = vehicle;
  s.throttle += (s.throttleCommand - s.throttle) * (STEP_S / (0.045 + STEP_S));
  stepBoost(run, s);
  s.intakeC = ambient.temperatureC + s.soakC + boostHeatK(run, s);
  const upstreamK = s.intakeC + 273.15;
  const areaMm2 = run.throttleMm2(Math.min(100, s.throttle + defects.throttleSlackPercent)) * defects.throttleScale + defects.throttleAddMm2;
  const heat = heatingShare(engine, s.cylinderGps);
  s.chargeK = upstreamK + heat * (s.coolantC + 273.15 - upstreamK);
  const fill = (AIR_J_PER_G_K * s.chargeK) / engine.manifoldL;
  const pumpGpsPerKpa = (engine.displacementL * Math.max(0, s.rpm)) / (120 * AIR_J_PER_G_K * s.chargeK);
  const before = s.mapKpa;
  let p = before;
  let throttleGps = 0;
  let leakGps = 0;
  let ve = 0;
  for (let i = 0; i < 6; i++) {
    ve = breathingAt(breathing, s.rpm, p);
    throttleGps = orificeGps(areaMm2, s.boostKpa, upstreamK, p);
    leakGps = defects.leakMm2 === 0 ? 0 : orificeGps(defects.leakMm2, ambient.pressureKpa, ambient.temperatureC + 273.15, p);
    const off = p - before - STEP_S * fill * (throttleGps + leakGps - pumpGpsPerKpa * ve * p);
    const probe = p > 1.02 * s.boostKpa ? -0.05 : 0.05;
    const throttleSlope = (orificeGps(areaMm2, s.boostKpa, upstreamK, p + probe) - throttleGps) / probe;
    const slope = 1 - STEP_S * fill * (throttleSlope - pumpGpsPerKpa * ve * 1.25);
    const move = off / slope;
    p -= move;
    if (p < 8) p = 8;
    if (Math.abs(move) < 0.0006) break;
  }
  s.mapKpa = p;
  s.throttleGps = throttleGps;
  s.leakGps = leakGps;
  s.cylinderGps = pumpGpsPerKpa * ve * p;
}

function stepBoost(run: Run, s: State): void {
  const { turbo } = run.vehicle.engine;
  const { pressureKpa, temperatureC } = run.vehicle.ambient;
  if (turbo === undefined) {
    // The filter and the tube before the throttle lose pressure with the square of flow.
    const share = s.meterTrueGps / (run.fullFuelGps * 12.8);
    s.boostKpa = pressureKpa - 2.2 * share * share;
    s.meterTrueGps = Math.max(0, s.throttleGps);
    return;
  }
  const flowShare = s.cylinderGps / turbo.flowForTargetGps;
  const available = 1.25 * turbo.targetGaugeKpa * Math.min(1, flowShare * flowShare);
  const wanted = s.pedal > 8 ? turbo.targetGaugeKpa * Math.min(1, 0.25 + (1.1 * s.pedal) / 70) : 0;
  const goal = pressureKpa + Math.min(available, wanted);
  const lag = goal > s.boostKpa ? turbo.lagS : 0.25;
  const before = s.boostKpa;
  s.boostKpa += (goal - before) * (STEP_S / (lag + STEP_S));
  const fillingGps = ((s.boostKpa - before) / STEP_S) * (turbo.chargePipeL / (AIR_J_PER_G_K * (temperatureC + 293)));
  s.meterTrueGps = Math.max(0, s.throttleGps + fillingGps);
}

/** Heating by the compressor less what the intercooler takes [K]; 70 % isentropic efficiency. @source heywood-1988 ch. 6 (from memory) */
function boostHeatK(run: Run, s: State): number {
  const { turbo } = run.vehicle.engine;
  if (turbo === undefined || s.boostKpa <= run.vehicle.ambient.pressureKpa) return 0;
  const rise = (run.vehicle.ambient.temperatureC + 273) * ((s.boostKpa / run.vehicle.ambient.pressureKpa) ** 0.2857 - 1);
  return (rise / 0.7) * (1 - turbo.intercooler);
}

/** Sensors of the intake as the controller reads them, defects included. */
export function readIntakeSensors(run: Run, s: State): void {
  const { vehicle, maps, noise } = run;
  const { defects, tuning } = vehicle;
  const running = s.rpm > 60;
  const pulse = running ? 0.35 + 0.9 * Math.min(1, 1500 / (s.rpm + 400)) * (s.mapKpa / 100) : 0.15;
  const mapNow = s.mapKpa * defects.mapGain + defects.mapOffsetKpa + pulse * 0.55 * noise();
  s.mapSensor += (mapNow - s.mapSensor) * (STEP_S / (tuning.mapFilterS + STEP_S));
  s.iatSensor += (s.intakeC + 0.02 * (s.coolantC - s.intakeC) - s.iatSensor) * (STEP_S / 6);
  s.ectSensor += (s.coolantC - s.ectSensor) * (STEP_S / 1.5);
  if (!vehicle.outfit.meter) return;
  s.meterSensorGps += (s.meterTrueGps - s.meterSensorGps) * (STEP_S / (vehicle.meter.lagS + STEP_S));
  const noisy = s.meterSensorGps * (1 + 0.012 * noise());
  const felt = defects.meterGain === 1 && defects.meterSlope === 0 ? noisy : noisy * defects.meterGain * (Math.max(0.2, noisy) / 20) ** defects.meterSlope;
  s.meterHz = meterHz(run.meter, felt);
  s.meterAirGps = maps.meterGps(s.meterHz);
}
