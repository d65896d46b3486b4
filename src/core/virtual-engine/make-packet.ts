import { type Random, seededRandom } from "../../base/index.ts";
import type { Packet } from "../job/packet.ts";
import type { Calibration } from "../tables/index.ts";
import { factoryCalibration } from "./calibration.ts";
import { type DrawOptions, drawVehicle } from "./draw-vehicle.ts";
import { drawIdlePlan, drawRoadPlan } from "./drive-plan.ts";
import { addDwell, type Dwell } from "./dwell.ts";
import { applyFaults, FAULT_IDS, type FaultId, faultApplies, type PlantedFault, plantFault } from "./faults.ts";
import { intakeOf } from "./intake.ts";
import { drawLogFormat } from "./logger.ts";
import { learnedMemory, simulateRecording } from "./simulate.ts";
import { freshMemory } from "./state.ts";
import type { VirtualVehicle } from "./vehicle.ts";

export interface PacketOptions extends DrawOptions {
  /** Faults to plant; "draw" picks one that the vehicle can have. Left out or empty: healthy. */
  readonly faults?: readonly { readonly id: FaultId | "draw"; readonly severity?: number }[];
  /** Length of the road recording; 11.5–15.5 min when left out. */
  readonly minutes?: number;
}

/** What is really so in a packet. Never read by the tool. */
export interface PacketTruth {
  readonly seed: number;
  readonly vehicle: VirtualVehicle;
  readonly healthy: boolean;
  readonly faults: readonly PlantedFault[];
  readonly dwell: Dwell;
}

export interface MadePacket {
  readonly packet: Packet;
  readonly truth: PacketTruth;
}

/** A whole packet from a seed: vehicle, faults, calibrations, a road recording and an idle recording. The same seed makes the same packet. */
export function makePacket(seed: number, options: PacketOptions = {}): MadePacket {
  const random = seededRandom(seed);
  const sound = drawVehicle(random, options);
  const faults = plant(sound, options, random);
  const vehicle = applyFaults(sound, faults);
  const reference = factoryCalibration(random, sound);
  return record(seed, { vehicle, faults, reference, asReceived: reference, minutes: options.minutes }, random);
}

function plant(vehicle: VirtualVehicle, options: PacketOptions, random: Random): PlantedFault[] {
  const taken = new Set<string>();
  return (options.faults ?? []).map((wanted) => {
    const severity = wanted.severity ?? random.between(0.2, 1);
    const id = wanted.id === "draw" ? random.pick(FAULT_IDS.filter((f) => faultApplies(vehicle, f) && !taken.has(f))) : wanted.id;
    taken.add(id);
    return plantFault(vehicle, id, severity, random);
  });
}

interface Prepared {
  readonly vehicle: VirtualVehicle;
  readonly faults: readonly PlantedFault[];
  readonly reference: Calibration;
  readonly asReceived: Calibration;
  readonly minutes: number | undefined;
}

function record(seed: number, of: Prepared, random: Random): MadePacket {
  const { vehicle, asReceived } = of;
  const format = drawLogFormat(random, {
    outfit: vehicle.outfit,
    banks: vehicle.engine.banks,
    automatic: vehicle.transmission.kind === "automatic",
    boosted: vehicle.engine.turbo !== undefined,
  });
  const before = vehicle.memoryCleared ? freshMemory() : learnedMemory(vehicle, asReceived, drawRoadPlan(random, { minutes: 8 }), random);
  const road = simulateRecording(vehicle, asReceived, drawRoadPlan(random, of.minutes === undefined ? {} : { minutes: of.minutes }), random, {
    memory: before,
    format,
  });
  const idleFormat = { ...format, intervalS: Math.min(format.intervalS, 0.06) };
  const idle = simulateRecording(vehicle, asReceived, drawIdlePlan(random), random, { memory: road.memory, format: idleFormat });
  return {
    packet: {
      intake: intakeOf(vehicle, of.faults, random),
      asReceived,
      reference: of.reference,
      recordings: [idle.recording, road.recording],
      pulls: [],
      problems: [],
      remarks: [],
    },
    truth: { seed, vehicle, healthy: of.faults.length === 0, faults: of.faults, dwell: addDwell(road.dwell, idle.dwell) },
  };
}
