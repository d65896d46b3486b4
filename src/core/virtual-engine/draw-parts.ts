import type { Random } from "../../base/index.ts";
import type { ControllerTuning, Curve, MeterPlant } from "./vehicle.ts";

const OPENINGS = [0, 0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 70, 80, 90, 100];

/**
 * Effective area of a throttle plate [mm²]: leakage at the stop plus the crescent that opens, area · (1 − cos(angle)) like.
 * The plate stands some degrees from shut at 0 % and turns 80° or so. @source heywood-1988 (from memory); ch. 7, throttle plate geometry
 */
export function drawThrottle(random: Random, displacementL: number, idleRpm: number): Curve {
  const fullMm2 = 560 * displacementL ** 0.95 * random.between(0.9, 1.3) + 350;
  const idleNeedMm2 = 0.75 * displacementL * (idleRpm / 700) * 4.27;
  const stopMm2 = idleNeedMm2 * random.between(0.3, 0.55);
  const restDeg = random.between(5, 9);
  const turnDeg = 90 - restDeg - random.between(0, 4);
  const rest = Math.cos((restDeg * Math.PI) / 180);
  const span = 1 - Math.cos(((restDeg + turnDeg) * Math.PI) / 180) / rest;
  const bend = random.between(0.95, 1.08);
  const y = OPENINGS.map((percent) => {
    const angle = ((restDeg + turnDeg * (percent / 100) ** bend) * Math.PI) / 180;
    return stopMm2 + (fullMm2 * (1 - Math.cos(angle) / rest)) / span;
  });
  return { x: OPENINGS, y };
}

/** A frequency meter for an engine that draws so much at full power. */
export function drawMeter(random: Random, airAtPowerGps: number): MeterPlant {
  const lowestHz = random.pick([1000, 1200, 1500, 1500]);
  const highestHz = random.pick([11500, 12500, 13000, 13200, 14000]);
  const stepHz = random.pick([250, 400, 500]);
  const low = Math.log(lowestHz / 1000);
  const high = Math.log(highestHz / 1000);
  const lowFlow = Math.log(random.between(0.5, 1.1) * Math.max(0.5, airAtPowerGps / 220));
  const highFlow = Math.log(airAtPowerGps * random.between(1.35, 2.2));
  const c = random.between(0.38, 0.62);
  const b = (highFlow - lowFlow - c * (high * high - low * low)) / (high - low);
  return {
    a: lowFlow - b * low - c * low * low,
    b,
    c,
    lowestHz,
    highestHz,
    stepHz,
    errors: drawMeterErrors(random, 0.01),
    lagS: random.between(0.015, 0.05),
  };
}

/** Smooth relative error of a meter over ln(kHz). */
export function drawMeterErrors(random: Random, deviation: number): MeterPlant["errors"] {
  return Array.from({ length: 4 }, () => ({
    amplitude: deviation * 0.7 * random.normal(),
    perLog: random.between(0.6, 5),
    phase: random.between(0, 2 * Math.PI),
  }));
}

/** What the controller's maker chose and no table says. */
export function drawTuning(random: Random, of: { displacementL: number; idleRpm: number; wild: number }): ControllerTuning {
  return {
    closedLoopFromC: random.chance(0.8) ? random.between(38, 56) : random.between(18, 40),
    closedLoopAfterS: random.between(15, 45),
    trimStep: random.between(0.005, 0.016),
    trimPerS: random.between(0.012, 0.03),
    learnPerS: random.between(0.04, 0.15),
    trimLaw: random.chance(0.7) ? "sum" : "product",
    learnLimit: random.pick([0.2, 0.22, 0.22, 0.25]),
    learnStyle: random.chance(0.6) ? "blended" : "cells",
    learnAtFullLoad: random.chance(0.7),
    warmUpRich: random.between(0.08, 0.18),
    afterStartRich: random.between(0.06, 0.16),
    idleProportionalGpsPerRpm: random.between(0.002, 0.0045 + 0.002 * of.wild) * of.displacementL,
    idleLearnPerS: random.between(0.0003, 0.0011) * of.displacementL ** 0.5,
    idleLearnLimitGps: random.between(0.6, 1.1) * of.displacementL,
    idleSparkDegPerRpm: random.between(0.04, 0.1),
    filmCompensation: random.between(0.6, 1.05),
    cutFromRpm: of.idleRpm + random.between(700, 1100),
    cutBackRpm: of.idleRpm + random.between(350, 550),
    openOnOverrun: random.chance(0.6),
    purgeShare: random.chance(0.8) ? random.between(0.005, 0.03) : 0,
    accessoryGps: 0.1 * of.displacementL * random.between(0.6, 1.4),
    dragAirShare: random.between(0.75, 1.15),
    mapFilterS: random.between(0.01, 0.04),
  };
}
