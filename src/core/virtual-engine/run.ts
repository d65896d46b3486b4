import type { Random } from "../../base/index.ts";
import type { Calibration } from "../tables/index.ts";
import { invertMeter, type MeterInverse } from "./air-meter.ts";
import { type BreathingMap, breathingMap } from "./breathing.ts";
import { type ControllerMaps, controllerMaps } from "./controller-maps.ts";
import { dryShare } from "./gas.ts";
import { curveFrom, type FastCurve } from "./look-up.ts";
import { fastNormal } from "./noise.ts";
import type { Memory, State } from "./state.ts";
import { accessoryNm } from "./steady-idle.ts";
import type { VirtualVehicle } from "./vehicle.ts";

/** Step of integration [s]; the manifold, stiff at full load, is solved implicitly. */
export const STEP_S = 0.01;
/** Steps that the exhaust pipe remembers: 4 s. */
export const PIPE_STEPS = 400;

/** What stays the same through a run, worked out once, and the stores that the loop writes. */
export interface Run {
  readonly vehicle: VirtualVehicle;
  readonly maps: ControllerMaps;
  readonly breathing: BreathingMap;
  readonly throttleMm2: FastCurve;
  readonly meter: MeterInverse;
  readonly random: Random;
  /** Standard normal noise for plant and sensors. */
  readonly noise: () => number;
  readonly cylinderL: number;
  readonly dry: number;
  readonly accessoryNm: number;
  /** Air that the converter's drag in gear costs at idle [g/s]. */
  readonly dragAirGps: number;
  readonly tireRadiusM: number;
  readonly fullFuelGps: number;
  readonly mostNm: number;
  readonly pipe1: Float64Array;
  readonly pipe2: Float64Array;
  readonly long1: Float64Array;
  readonly long2: Float64Array;
  /** The up to four learning cells in use at this moment and their weights. */
  readonly learnCells: Int32Array;
  readonly learnWeights: Float64Array;
  step: number;
  /** Electrical and compressor load switched on, 0–1. */
  load: number;
  grade: number;
  inDrive: boolean;
  starter: boolean;
  keyOnS: number;
  camLostUntilS: number;
  syncRevs: number;
  crankFromRevs: number;
}

export function prepareRun(vehicle: VirtualVehicle, calibration: Calibration, memory: Memory, random: Random): Run {
  const { engine } = vehicle;
  const highestKpa = vehicle.ambient.pressureKpa + (engine.turbo ? engine.turbo.targetGaugeKpa * 1.25 : 0) + 4;
  const airAtPowerGps = (engine.displacementL / 2) * (engine.maximumRpm / 60) * 1.15 * 0.85 * (engine.turbo ? 1.7 : 1);
  return {
    vehicle,
    maps: controllerMaps(calibration, vehicle),
    breathing: breathingMap(engine.breathing, vehicle.ambient.pressureKpa, highestKpa),
    throttleMm2: curveFrom(engine.throttle.x, engine.throttle.y),
    meter: invertMeter(vehicle.meter),
    random,
    noise: fastNormal(random),
    cylinderL: engine.displacementL / engine.cylinders,
    dry: dryShare(vehicle.ambient),
    accessoryNm: accessoryNm(vehicle),
    dragAirGps: dragAirGps(vehicle),
    tireRadiusM: 1000 / (2 * Math.PI * vehicle.body.tireRevsPerKm),
    fullFuelGps: airAtPowerGps / 12.8,
    mostNm: engine.displacementL * (engine.turbo ? 88 * (1 + engine.turbo.targetGaugeKpa / 100) : 88),
    pipe1: new Float64Array(PIPE_STEPS).fill(1),
    pipe2: new Float64Array(PIPE_STEPS).fill(1),
    long1: Float64Array.from(memory.long1),
    long2: Float64Array.from(memory.long2),
    learnCells: new Int32Array(4),
    learnWeights: new Float64Array(4),
    step: 0,
    load: 0,
    grade: 0,
    inDrive: false,
    starter: false,
    keyOnS: 0,
    camLostUntilS: -1,
    crankFromRevs: 0,
    syncRevs: 0.7 + 0.8 * random.uniform() + vehicle.defects.camExtraRevs * (0.6 + 0.8 * random.uniform()),
  };
}

/** Air for the converter held at rest in gear at idle: torque by the square of speed, some 0.055 g/s for each Nm at 700 rpm. Figures common practice. */
function dragAirGps(vehicle: VirtualVehicle): number {
  const { transmission } = vehicle;
  if (transmission.kind === "manual") return 0;
  const dragNm = 0.85 * transmission.stallTorqueNm * (vehicle.idleRpm / transmission.stallRpm) ** 2;
  return 0.078 * dragNm * (vehicle.idleRpm / 700);
}

export function memoryOf(run: Run, state: State): Memory {
  return { long1: Float64Array.from(run.long1), long2: Float64Array.from(run.long2), idleAdapt: state.idleAdapt, knockLearn: state.knockLearn };
}
