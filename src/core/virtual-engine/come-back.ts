import { seededRandom } from "../../base/index.ts";
import type { Calibration } from "../tables/index.ts";
import { drawIdlePlan, drawRoadPlan } from "./drive-plan.ts";
import { applyFaults, FAULT_IDS, type FaultId, faultApplies, type PlantedFault, plantFault } from "./faults.ts";
import { intakeOf } from "./intake.ts";
import type { MadePacket, VirtualPacket } from "./make-packet.ts";
import { learnedMemory, simulateRecording } from "./simulate.ts";
import type { Ambient, VirtualVehicle } from "./vehicle.ts";

/** The same vehicle months later: what is in its controller, what has failed since (nothing when left out), and how gravely (0.3–1 drawn). */
export interface ComebackOptions {
  readonly calibration: Calibration;
  readonly fault?: FaultId | "draw";
  readonly severity?: number;
  /** Length of the road drive; drawn when left out. */
  readonly minutes?: number;
}

export interface Comeback {
  readonly packet: VirtualPacket;
  readonly faults: readonly PlantedFault[];
}

/** A vehicle that comes back: other weather, another tank of fuel, a little wear, another drive. The same seed makes the same comeback. */
export function comeBack(made: MadePacket, seed: number, options: ComebackOptions): Comeback {
  const random = seededRandom(seed);
  const aged = age(made.truth.vehicle, random);
  const faults = failed(aged, options, random);
  const vehicle = applyFaults(aged, faults);
  const { format } = made.truth;
  const { calibration } = options;
  const memory = learnedMemory(vehicle, calibration, drawRoadPlan(random, { minutes: 8 }), random);
  const road = simulateRecording(vehicle, calibration, drawRoadPlan(random, { minutes: options.minutes }), random, { memory, format });
  const idle = simulateRecording(vehicle, calibration, drawIdlePlan(random), random, {
    memory: road.memory,
    format: { ...format, intervalS: Math.min(format.intervalS, 0.06) },
  });
  return {
    packet: {
      ...made.packet,
      intake: { ...intakeOf(vehicle, faults, random), fuel: made.packet.intake.fuel ?? {} },
      asReceived: calibration,
      recordings: [idle.recording, road.recording],
      pulls: [],
    },
    faults,
  };
}

/** Parts drift by a few tenths of a percent, the next tank burns a little otherwise, the weather is another. Sizes from memory. */
function age(vehicle: VirtualVehicle, random: ReturnType<typeof seededRandom>): VirtualVehicle {
  const { fuel, injection, meter } = vehicle;
  return {
    ...vehicle,
    ambient: weather(vehicle.ambient, random),
    memoryCleared: false,
    fuel: { ...fuel, stoich: fuel.stoich * Math.exp(0.005 * random.normal()) },
    injection: { ...injection, ratedFlowGps: injection.ratedFlowGps * Math.exp(0.003 * random.normal()) },
    meter: { ...meter, a: meter.a + 0.004 * random.normal() },
  };
}

function weather(before: Ambient, random: ReturnType<typeof seededRandom>): Ambient {
  return {
    pressureKpa: before.pressureKpa * Math.exp(0.008 * random.normal()),
    temperatureC: random.between(-5, 33),
    relativeHumidityPercent: Math.round(random.between(25, 90)),
  };
}

function failed(vehicle: VirtualVehicle, options: ComebackOptions, random: ReturnType<typeof seededRandom>): PlantedFault[] {
  if (options.fault === undefined) return [];
  const severity = options.severity ?? random.between(0.3, 1);
  const id = options.fault === "draw" ? random.pick(FAULT_IDS.filter((fault) => faultApplies(vehicle, fault))) : options.fault;
  return [plantFault(vehicle, id, severity, random)];
}
