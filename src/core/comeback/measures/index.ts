import coolant from "./coolant.ts";
import crankTime from "./crank-time.ts";
import type { Measure } from "./define.ts";
import idleAir from "./idle-air.ts";
import idleAirCommanded from "./idle-air-commanded.ts";
import idleSpeed from "./idle-speed.ts";
import knockRetard from "./knock-retard.ts";
import lockupSlip from "./lockup-slip.ts";
import sensorSwing from "./sensor-swing.ts";
import supplyVoltage from "./supply-voltage.ts";
import trimDriven from "./trim-driven.ts";
import trimIdle from "./trim-idle.ts";

export type { Measure };

/** In the order in which a person reads them. */
export const MEASURES: readonly Measure[] = [
  idleAir,
  idleAirCommanded,
  idleSpeed,
  trimIdle,
  trimDriven,
  crankTime,
  supplyVoltage,
  coolant,
  sensorSwing,
  knockRetard,
  lockupSlip,
];
