import type { Random } from "../../base/index.ts";
import { idleSparkDeg } from "./factory-tables.ts";
import { orificeGps } from "./gas.ts";
import { steadyIdle } from "./steady-idle.ts";
import type { Defects, VirtualVehicle } from "./vehicle.ts";

/** The contract's faults, without `healthy`. */
export const FAULT_IDS = [
  "air.unmetered-leak",
  "air.throttle-overflow",
  "air.throttle-restricted",
  "air.meter-low",
  "air.meter-high",
  "sensor.map-bias",
  "fuel.delivery-low",
  "fuel.injector-flow-mismatch",
  "fuel.injector-dead-time-mismatch",
  "exhaust.leak-ahead-of-sensor",
  "sensor.oxygen-slow",
  "cooling.runs-cold",
  "start.cam-signal-dropout",
  "ignition.knock",
  "electrical.low-voltage",
  "driveline.lockup-slip",
] as const;

export type FaultId = (typeof FAULT_IDS)[number];

/** A fault of a size: 0.2 noticed with care, 1 gross; `defects` is the change made to the hardware. */
export interface PlantedFault {
  readonly id: FaultId;
  readonly severity: number;
  readonly defects: Partial<Defects>;
  /** Share of warm idle air or exhaust that it makes up, where that is its measure. */
  readonly idleShare?: number;
  readonly how?: string;
}

/** Whether a fault can exist in this vehicle at all: a meter to be wrong, a lock-up clutch to slip. */
export function faultApplies(vehicle: VirtualVehicle, id: FaultId): boolean {
  if (id === "air.meter-low" || id === "air.meter-high") return vehicle.outfit.meter;
  if (id === "driveline.lockup-slip") return vehicle.transmission.kind === "automatic";
  if (id === "sensor.map-bias") return vehicle.outfit.manifoldPressure;
  return true;
}

/** Air that the warm engine draws at idle [g/s]. */
export function warmIdleAirGps(vehicle: VirtualVehicle): number {
  return steadyIdle(vehicle, vehicle.engine.breathing, {
    rpm: vehicle.idleRpm,
    coolantC: 90,
    intakeC: vehicle.ambient.temperatureC + 10,
    ambientKpa: vehicle.ambient.pressureKpa,
    sparkDeg: (rpm, g) => idleSparkDeg(vehicle, rpm, g),
  }).airGps;
}

/** Hardware change of a fault at a severity, sized to the vehicle. @throws RangeError when the fault cannot exist in it */
export function plantFault(vehicle: VirtualVehicle, id: FaultId, severity: number, random: Random): PlantedFault {
  if (!faultApplies(vehicle, id)) throw new RangeError(`${id} cannot exist in ${vehicle.label}`);
  const sized = PLANTERS[id](vehicle, severity, random);
  return { id, severity, ...sized };
}

/** The vehicle with faults in it; several add up where they touch different parts. */
export function applyFaults(vehicle: VirtualVehicle, faults: readonly PlantedFault[]): VirtualVehicle {
  let defects = vehicle.defects;
  for (const fault of faults) defects = { ...defects, ...combined(defects, fault.defects) };
  return { ...vehicle, defects };
}

/** Areas, factors and losses of two faults on the same part compose rather than replace each other. */
function combined(all: Defects, added: Partial<Defects>): Partial<Defects> {
  return {
    ...added,
    ...(added.throttleAddMm2 === undefined ? {} : { throttleAddMm2: all.throttleAddMm2 + added.throttleAddMm2 }),
    ...(added.injectorFlowFactor === undefined ? {} : { injectorFlowFactor: all.injectorFlowFactor * added.injectorFlowFactor }),
    ...(added.meterGain === undefined ? {} : { meterGain: all.meterGain * added.meterGain }),
  };
}

type Planter = (vehicle: VirtualVehicle, severity: number, random: Random) => Omit<PlantedFault, "id" | "severity">;

const PLANTERS: Readonly<Record<FaultId, Planter>> = {
  "air.unmetered-leak": (v, size, random) => {
    const idleShare = (0.035 + 0.36 * size) * random.between(0.92, 1.08);
    const leakMm2 = (idleShare * warmIdleAirGps(v)) / chokedPerMm2(v);
    const biased = v.engine.banks === 2 && random.chance(0.4);
    return { defects: { leakMm2, leakBank1Share: biased ? (random.chance(0.5) ? random.between(0.6, 0.85) : random.between(0.15, 0.4)) : 0.5 }, idleShare };
  },
  "air.throttle-overflow": (v, size, random) => {
    const idleShare = (0.07 + 0.53 * size) * random.between(0.92, 1.08);
    const addMm2 = (idleShare * warmIdleAirGps(v)) / chokedPerMm2(v);
    if (random.chance(0.6)) return { defects: { throttleAddMm2: addMm2 }, idleShare, how: "worn bore" };
    return {
      defects: { throttleSlackPercent: slackFor(v, addMm2), slackBothShare: random.chance(0.5) ? 1 : random.between(0.2, 0.9) },
      idleShare,
      how: "slack position sensor",
    };
  },
  "air.throttle-restricted": (v, size, random) => {
    const idleShare = (0.07 + 0.45 * size) * random.between(0.92, 1.08);
    const lostMm2 = (idleShare * warmIdleAirGps(v)) / chokedPerMm2(v);
    return { defects: { throttleAddMm2: -lostMm2 * random.between(0.7, 1), throttleScale: 1 - 0.05 * size * random.uniform() }, idleShare, how: "dirt" };
  },
  "air.meter-low": (_v, size, random) => ({ defects: { meterGain: 1 - (0.035 + 0.17 * size), meterSlope: random.between(-0.02, 0.02) } }),
  "air.meter-high": (_v, size, random) => ({ defects: { meterGain: 1 + (0.035 + 0.18 * size), meterSlope: random.between(-0.02, 0.02) } }),
  "sensor.map-bias": (_v, size, random) => {
    const sign = random.chance(0.5) ? 1 : -1;
    if (random.chance(0.6)) return { defects: { mapOffsetKpa: sign * (1.2 + 7 * size) } };
    return { defects: { mapGain: 1 + sign * (0.02 + 0.1 * size) } };
  },
  "fuel.delivery-low": (v, size, random) => ({
    defects: { railSagKpa: v.injection.railKpa * (0.08 + 0.5 * size), railBaseLossKpa: v.injection.railKpa * 0.05 * size * random.uniform() },
  }),
  "fuel.injector-flow-mismatch": (_v, size, random) => ({
    defects: { injectorFlowFactor: random.chance(0.5) ? 1 + (0.05 + 0.25 * size) : 1 / (1 + 0.05 + 0.25 * size) },
  }),
  "fuel.injector-dead-time-mismatch": (v, size, random) => {
    const shift = 0.07 + 0.32 * size;
    const longer = random.chance(0.65) || shift > 0.6 * v.injection.deadTimeMs;
    return { defects: { deadShiftMs: longer ? shift : -shift, deadShiftVoltPower: random.between(0.8, 1.7) } };
  },
  "exhaust.leak-ahead-of-sensor": (v, size, random) => {
    const idleShare = (0.035 + 0.16 * size) * random.between(0.9, 1.1);
    const idleGps = warmIdleAirGps(v) * 1.07;
    const fade = idleGps * random.between(2, 5);
    return {
      defects: {
        exhaustLeakGps: idleShare * idleGps * Math.exp(idleGps / fade),
        exhaustLeakFadeGps: fade,
        exhaustLeakBank: v.engine.banks === 2 && random.chance(0.65) ? (random.chance(0.5) ? 1 : 2) : 0,
      },
      idleShare,
    };
  },
  "sensor.oxygen-slow": (v, size, random) => ({
    defects: { oxygenLagFactor: 2.5 + 13 * size, oxygenLagBank: v.engine.banks === 2 && random.chance(0.5) ? (random.chance(0.5) ? 1 : 2) : 0 },
  }),
  "cooling.runs-cold": (_v, size) => ({ defects: { thermostatOpenShare: 0.06 + 0.4 * size } }),
  "start.cam-signal-dropout": (_v, size, random) => ({
    defects: { camExtraRevs: 2.5 + 15 * size, camLossesPerMin: (0.2 + 3.5 * size) * random.between(0.6, 1.4) },
  }),
  "ignition.knock": (v, size) => ({ defects: { knockDropDeg: v.engine.knockMarginDeg + 0.8 + 7.5 * size } }),
  "electrical.low-voltage": (_v, size, random) => ({
    defects: { chargingV: (0.35 + 1.6 * size) * random.between(0.85, 1.15), batterySagV: (0.3 + 1.6 * size) * random.between(0.7, 1.2) },
  }),
  "driveline.lockup-slip": (v, size, random) => {
    const roadNm = roadTorqueNm(v);
    return { defects: { lockupHoldNm: Math.max(5, roadNm * (1.45 - 1.2 * size)), lockupSlipRpmPerNm: (random.between(80, 180) * (0.5 + size)) / roadNm } };
  },
};

function chokedPerMm2(vehicle: VirtualVehicle): number {
  return orificeGps(1, vehicle.ambient.pressureKpa, vehicle.ambient.temperatureC + 283.15, 30);
}

/** Extra opening that passes so much more at idle [%]. */
function slackFor(vehicle: VirtualVehicle, addMm2: number): number {
  const { x, y } = vehicle.engine.throttle;
  const idleMm2 = warmIdleAirGps(vehicle) / chokedPerMm2(vehicle);
  const opening = (area: number): number => {
    for (let i = 1; i < y.length; i++) if (y[i]! >= area) return x[i - 1]! + ((area - y[i - 1]!) / (y[i]! - y[i - 1]!)) * (x[i]! - x[i - 1]!);
    return 100;
  };
  return Math.max(0.2, opening(idleMm2 + addMm2) - opening(idleMm2));
}

/** Engine torque that a slight climb at 85 km/h asks for in the highest gear [Nm]. @source PH-14 */
function roadTorqueNm(vehicle: VirtualVehicle): number {
  const { body, transmission } = vehicle;
  const speedMs = 85 / 3.6;
  const force = body.massKg * 9.81 * (body.rollingShare + 0.012) + 0.5 * 1.2 * body.dragAreaM2 * speedMs * speedMs;
  const radiusM = 1000 / (2 * Math.PI * body.tireRevsPerKm);
  return (force * radiusM) / (transmission.ratios.at(-1)! * body.axleRatio * (1 - transmission.lossShare));
}
