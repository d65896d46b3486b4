import { type Problem, type Random, seededRandom } from "../../base/index.ts";
import type { Recording } from "../recordings/index.ts";
import type { Intake } from "../result/index.ts";
import { type Calibration, calibrationOf, type Role, type Table, withCells } from "../tables/index.ts";
import { errorAt } from "./air-meter.ts";
import { asReceivedCalibration, type Distortion, ordinaryDistortion, replaceTables } from "./as-received.ts";
import { factoryCalibration } from "./calibration.ts";
import { drawMeterErrors } from "./draw-parts.ts";
import { type DrawOptions, drawVehicle } from "./draw-vehicle.ts";
import { drawIdlePlan, drawRoadPlan } from "./drive-plan.ts";
import { addDwell, type Dwell } from "./dwell.ts";
import { editCalibration, type PlantedEdit, type PlantedFinding } from "./edits.ts";
import { toStep } from "./factory-tables.ts";
import { applyFaults, FAULT_IDS, type FaultId, faultApplies, type PlantedFault, plantFault } from "./faults.ts";
import { intakeOf } from "./intake.ts";
import { drawLogFormat, type LogFormat } from "./logger.ts";
import { learnedMemory, simulateRecording } from "./simulate.ts";
import { freshMemory, type Memory } from "./state.ts";
import { drawSweeps, type SweepTruth } from "./sweep.ts";
import { type CorrectionTruth, correctionTruth } from "./truth.ts";
import type { VirtualVehicle } from "./vehicle.ts";

export interface PacketOptions extends DrawOptions {
  /** Faults to plant; "draw" picks one that the vehicle can have. Left out or empty: healthy. */
  readonly faults?: readonly { readonly id: FaultId | "draw"; readonly severity?: number }[];
  /** How wrong the tables came in; left out: a changed camshaft has been written into them, more or less well. */
  readonly distortion?: Partial<Distortion>;
  /** Size of the meter's own error when `distortion.meter` is set, standard deviation; 0.1 when left out. */
  readonly meterSpread?: number;
  /** How the meter came to be off when `distortion.meter` is set: it sits in another tube than its curve was made for (when left out), or the last hand rewrote the curve. */
  readonly meterBy?: "tube" | "curve";
  readonly edits?: { readonly harmless: number; readonly incoherent: number };
  /** Length of the road recording; 11.5–15.5 min when left out. */
  readonly minutes?: number;
  /** Where the reference tables come from: this very model, a sister with another axle, or with some tables missing; drawn when left out. */
  readonly reference?: "own" | "sister" | "partial";
  /** Full-load sweeps on a dynamometer; none when left out. */
  readonly sweeps?: number;
}

/** A packet as reading its files would give it. Has the shape of the job room's `Packet`. */
export interface VirtualPacket {
  readonly intake: Intake;
  readonly asReceived: Calibration | undefined;
  readonly reference: Calibration | undefined;
  readonly recordings: readonly Recording[];
  readonly pulls: readonly Recording[];
  readonly problems: readonly Problem[];
  readonly remarks: readonly string[];
}

/** What is really so in a packet. Never read by the tool. */
export interface PacketTruth {
  readonly seed: number;
  readonly vehicle: VirtualVehicle;
  readonly healthy: boolean;
  readonly faults: readonly PlantedFault[];
  readonly distortion: Distortion;
  readonly edits: readonly PlantedEdit[];
  readonly findings: readonly PlantedFinding[];
  readonly mayAlsoFind: readonly string[];
  readonly corrections: CorrectionTruth;
  readonly pulls: readonly SweepTruth[];
  readonly dwell: Dwell;
  readonly memory: Memory;
  readonly format: LogFormat;
}

export interface MadePacket {
  readonly packet: VirtualPacket;
  readonly truth: PacketTruth;
}

/** A whole packet from a seed: vehicle, faults, calibrations, a road recording and an idle recording. The same seed makes the same packet. */
export function makePacket(seed: number, options: PacketOptions = {}): MadePacket {
  const drawn = drawVehicle(stream(seed, 1), options);
  const distortion = { ...ordinaryDistortion(drawn, stream(seed, 2)), ...options.distortion };
  const meterBy = distortion.meter ? (options.meterBy ?? "tube") : undefined;
  const sound = meterBy === "tube" ? { ...drawn, meter: { ...drawn.meter, errors: wrongTube(stream(seed, 3), options.meterSpread ?? 0.1) } } : drawn;
  const faults = plant(sound, options, stream(seed, 4));
  const vehicle = applyFaults(sound, faults);
  const reference = factoryCalibration(stream(seed, 5), sound);
  const written = asReceivedCalibration(stream(seed, 6), sound, reference, distortion);
  const received = meterBy === "curve" ? withWrongCurve(stream(seed, 3), written, options.meterSpread ?? 0.1) : written;
  const editing = stream(seed, 7);
  const edited = editCalibration(editing, received, options.edits ?? { harmless: editing.whole(0, 2), incoherent: 0 });
  const format = drawLogFormat(stream(seed, 8), {
    outfit: vehicle.outfit,
    banks: vehicle.engine.banks,
    automatic: vehicle.transmission.kind === "automatic",
    boosted: vehicle.engine.turbo !== undefined,
  });
  const run = record(vehicle, edited.calibration, { format, minutes: options.minutes, seed });
  const sweeps = drawSweeps(vehicle, edited.calibration, options.sweeps ?? 0, stream(seed, 15));
  return {
    packet: {
      intake: intakeOf(vehicle, faults, stream(seed, 16)),
      asReceived: edited.calibration,
      reference: handedReference(stream(seed, 17), vehicle, reference, options.reference),
      recordings: run.recordings,
      pulls: sweeps.map((s) => s.recording),
      problems: [],
      remarks: [],
    },
    truth: {
      seed,
      vehicle,
      healthy: faults.length === 0,
      faults,
      distortion,
      edits: edited.edits,
      findings: edited.findings,
      mayAlsoFind: edited.mayAlsoFind,
      corrections: correctionTruth(vehicle, edited.calibration, run.dwell),
      pulls: sweeps.map((s) => s.truth),
      dwell: run.dwell,
      memory: run.memory,
      format,
    },
  };
}

/** The reference calibration that comes with the packet. */
function handedReference(random: Random, vehicle: VirtualVehicle, own: Calibration, wanted: PacketOptions["reference"]): Calibration {
  const draw = random.uniform();
  const kind = wanted ?? (draw < 0.86 ? "own" : draw < 0.93 ? "sister" : "partial");
  if (kind === "partial") return calibrationOf(own.tables.filter((t) => t.role === "air.ve" || random.chance(0.85)));
  if (kind === "own") return own;
  const axle = Math.round(vehicle.body.axleRatio * random.pick([0.9, 0.92, 1.08, 1.1]) * 100) / 100;
  const scaled = (role: Role, factor: number, step: number): Partial<Record<Role, Table>> => {
    const table = own.byRole[role];
    return table === undefined
      ? {}
      : {
          [role]: withCells(
            table,
            table.cells.map((v) => Math.round((v * factor) / step) * step),
          ),
        };
  };
  const byAxle = vehicle.body.axleRatio / axle;
  return replaceTables(own, { ...scaled("driveline.axle-ratio", 1 / byAxle, 0.01), ...scaled("trans.shift-speed-up", byAxle, 1) });
}

/** A stream of its own for each part, so that a seed gives the same vehicle, tables and drive with and without a fault. */
function stream(seed: number, part: number): Random {
  return seededRandom((Math.imul(seed, 0x9e3779b1) ^ Math.imul(part, 0x85ebca6b)) >>> 0);
}

/** Another drive of the same vehicle on other tables: the next round of corrections. */
export function driveAgain(
  made: MadePacket,
  calibration: Calibration,
  seed: number,
  minutes?: number,
): { readonly recordings: readonly Recording[]; readonly corrections: CorrectionTruth } {
  const { vehicle, format } = made.truth;
  const run = record({ ...vehicle, memoryCleared: true }, calibration, { format, minutes, seed });
  return { recordings: run.recordings, corrections: correctionTruth(vehicle, calibration, run.dwell) };
}

/** A meter in another tube: off by a common share and bent. */
function wrongTube(random: Random, spread: number): VirtualVehicle["meter"]["errors"] {
  const common = { amplitude: spread * (random.chance(0.5) ? 1 : -1) * random.between(0.4, 1.3), perLog: 0.15, phase: 0 };
  return [common, ...drawMeterErrors(random, spread * 0.35)];
}

/** The meter's curve as a last hand left it: off by a common share and bent, while the meter is its maker's. */
function withWrongCurve(random: Random, calibration: Calibration, spread: number): Calibration {
  const curve = calibration.byRole["air.meter-curve"];
  if (curve?.x === undefined) return calibration;
  const hz = curve.x.values;
  const errors = wrongTube(random, spread);
  return replaceTables(calibration, {
    "air.meter-curve": withCells(
      curve,
      curve.cells.map((gps, k) => Math.max(1 / 128, toStep(gps * (1 + errorAt(errors, hz[k]!)), 1 / 128))),
    ),
  });
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

function record(
  vehicle: VirtualVehicle,
  calibration: Calibration,
  how: { readonly format: LogFormat; readonly minutes: number | undefined; readonly seed: number },
): { readonly recordings: readonly Recording[]; readonly dwell: Dwell; readonly memory: Memory } {
  const { format, minutes, seed } = how;
  const before = vehicle.memoryCleared ? freshMemory() : learnedMemory(vehicle, calibration, drawRoadPlan(stream(seed, 9), { minutes: 8 }), stream(seed, 10));
  const road = simulateRecording(vehicle, calibration, drawRoadPlan(stream(seed, 11), minutes === undefined ? {} : { minutes }), stream(seed, 12), {
    memory: before,
    format,
  });
  const idleFormat = { ...format, intervalS: Math.min(format.intervalS, 0.06) };
  const idle = simulateRecording(vehicle, calibration, drawIdlePlan(stream(seed, 13)), stream(seed, 14), { memory: road.memory, format: idleFormat });
  return { recordings: [idle.recording, road.recording], dwell: addDwell(road.dwell, idle.dwell), memory: idle.memory };
}
