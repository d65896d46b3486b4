export { type ControllerAir, chargeTemperatureK, controllerAir, type EngineSize, speedDensityGps, switchSpeedRpm } from "./air-model.ts";
export { airFromPulseGps, controllerStoich, injectorDeadTimeMs, injectorFlowGps } from "./fuel-model.ts";
export { type Lived, meterFrequencyHz, type Replayed, replay } from "./replay.ts";
