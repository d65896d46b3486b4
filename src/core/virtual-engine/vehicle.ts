import type { BreathingSpec } from "./breathing.ts";

/** Weather of a recording. */
export interface Ambient {
  readonly pressureKpa: number;
  readonly temperatureC: number;
  readonly relativeHumidityPercent: number;
}

/** How the controller gets its air: by the meter alone, by both with a change of model at a speed, or without a meter. */
export type AirStrategy = "meter" | "switch" | "speed-density";

/** A curve as breakpoints and values, ascending, ends held. */
export interface Curve {
  readonly x: readonly number[];
  readonly y: readonly number[];
}

/** The engine and its parts as they are: nominal design values times what this sample of it differs by. */
export interface EnginePlant {
  readonly displacementL: number;
  readonly cylinders: number;
  readonly banks: 1 | 2;
  readonly compressionRatio: number;
  readonly maximumRpm: number;
  readonly cam: { readonly durationDeg: number; readonly liftMm: number; readonly lobeSeparationDeg: number; readonly changed: boolean; readonly wild: number };
  readonly breathing: BreathingSpec;
  readonly manifoldL: number;
  /** Effective throttle area over opening [mm² by %]. */
  readonly throttle: Curve;
  /** Coolant's true share in charge temperature: floor + rest · exp(−(flow/scale)^power). */
  readonly heating: { readonly floor: number; readonly rest: number; readonly scaleGps: number; readonly power: number };
  readonly frictionScale: number;
  readonly inertiaKgM2: number;
  readonly indicatedEfficiency: number;
  /** Best-torque advance at 2000 rpm and 0.4 relative filling, its rise per unit log speed and per lost filling. */
  readonly best: { readonly baseDeg: number; readonly perLogSpeedDeg: number; readonly perFillingDeg: number };
  /** Torque lost per squared degree of retard. */
  readonly sparkLossPerDeg2: number;
  /** Knock-limited advance over the factory's main table [deg], and where knock begins. */
  readonly knockMarginDeg: number;
  /** Cycle-to-cycle torque scatter at idle [fraction]. */
  readonly idleScatter: number;
  readonly turbo?: {
    readonly targetGaugeKpa: number;
    readonly flowForTargetGps: number;
    readonly lagS: number;
    readonly intercooler: number;
    readonly chargePipeL: number;
  };
  /** Warm port wall film: deposited share and time constant. */
  readonly film: { readonly share: number; readonly timeS: number };
}

export interface InjectionPlant {
  readonly ratedFlowGps: number;
  readonly ratedKpa: number;
  readonly railKpa: number;
  readonly railReference: "atmosphere" | "manifold";
  /** Dead time at 14 V [ms] and how it grows with falling voltage: d · (14/V)^power. */
  readonly deadTimeMs: number;
  readonly deadTimePower: number;
  /** Dead time added per kPa of manifold vacuum [ms]; 0 where the table has voltage alone. */
  readonly deadTimePerKpa: number;
  /** Flow of each bank's injectors relative to rated. */
  readonly bankFactors: readonly [number, number];
}

export interface FuelPlant {
  readonly ethanolPercentVolume: number;
  readonly stoich: number;
  /** Ratio that the controller's maker or the last hand set for this kind of fuel. */
  readonly tableStoich: number;
  readonly heatingKjPerG: number;
}

/** Exhaust to the sensors: revolutions from injection to exhaust, gas held in the pipe [g], sensor lags [s]. */
export interface ExhaustPlant {
  readonly revolutions: number;
  readonly pipeG: number;
  readonly widebandLagS: number;
  /** Highest lambda that the wideband reports. */
  readonly widebandMost: number;
  readonly switchingLagS: number;
  readonly sensorWarmS: number;
}

export interface MeterPlant {
  /** ln(flow) = a + b ln(kHz) + c ln²(kHz): what a new meter of this type passes in the factory's tube. */
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly lowestHz: number;
  readonly highestHz: number;
  readonly stepHz: number;
  /** This meter and tube against the type's: smooth relative error over ln(kHz), as cosines. */
  readonly errors: readonly { readonly amplitude: number; readonly perLog: number; readonly phase: number }[];
  readonly lagS: number;
}

export interface BodyPlant {
  readonly massKg: number;
  readonly dragAreaM2: number;
  readonly rollingShare: number;
  readonly axleRatio: number;
  readonly tireRevsPerKm: number;
}

export interface TransmissionPlant {
  readonly kind: "automatic" | "manual";
  readonly ratios: readonly number[];
  readonly stallRpm: number;
  /** Torque at which the stall speed is reached [Nm]. */
  readonly stallTorqueNm: number;
  readonly lowestLockupGear: number;
  readonly lossShare: number;
}

export interface ThermalPlant {
  readonly thermostatC: number;
  /** Heat capacity of engine and coolant [kJ/K]. */
  readonly capacityKjPerK: number;
  readonly soakC: number;
}

/** How the controller is tuned beside its tables: what no role of the contract holds. */
export interface ControllerTuning {
  readonly closedLoopFromC: number;
  readonly closedLoopAfterS: number;
  readonly trimStep: number;
  readonly trimPerS: number;
  readonly learnPerS: number;
  /** How the two trims join into one factor: (1 + short)(1 + long), or 1 + short + long. */
  readonly trimLaw: "product" | "sum";
  readonly learnLimit: number;
  readonly learnStyle: "blended" | "cells";
  /** Learned fuel trim used also in full-load fuel. */
  readonly learnAtFullLoad: boolean;
  readonly warmUpRich: number;
  readonly afterStartRich: number;
  readonly idleProportionalGpsPerRpm: number;
  readonly idleLearnPerS: number;
  readonly idleLearnLimitGps: number;
  readonly idleSparkDegPerRpm: number;
  readonly filmCompensation: number;
  readonly cutFromRpm: number;
  readonly cutBackRpm: number;
  /** The loop stays open as long as the engine is dragged along, cut or not. */
  readonly openOnOverrun: boolean;
  readonly purgeShare: number;
  /** Airflow added when accessories switch on [g/s], and how well the air for the converter's drag is met [share]. */
  readonly accessoryGps: number;
  readonly dragAirShare: number;
  readonly mapFilterS: number;
}

export interface SensorOutfit {
  readonly wideband: boolean;
  readonly widebandBank: 1 | 2 | undefined;
  readonly meter: boolean;
  readonly manifoldPressure: boolean;
  readonly torque: boolean;
  readonly secondThrottle: boolean;
}

/** What is broken, as physical quantities; all neutral in a sound vehicle. */
export interface Defects {
  readonly leakMm2: number;
  /** Share of the leak that bank 1 breathes; 0.5 spreads evenly. */
  readonly leakBank1Share: number;
  readonly throttleAddMm2: number;
  readonly throttleScale: number;
  /** Opening beyond what both position sensors say [%]. */
  readonly throttleSlackPercent: number;
  /** Share of that slack which the second position sensor hides too; below 1 the two sensors disagree. */
  readonly slackBothShare: number;
  readonly meterGain: number;
  readonly meterSlope: number;
  readonly mapOffsetKpa: number;
  readonly mapGain: number;
  /** Rail pressure lost [kPa] per squared share of the fuel flow at full power, and at any flow. */
  readonly railSagKpa: number;
  readonly railBaseLossKpa: number;
  readonly injectorFlowFactor: number;
  readonly deadShiftMs: number;
  readonly deadShiftVoltPower: number;
  /** Air drawn into the exhaust at idle [g/s]; fades with exhaust flow over this scale [g/s]. */
  readonly exhaustLeakGps: number;
  readonly exhaustLeakFadeGps: number;
  /** 0 both banks. */
  readonly exhaustLeakBank: 0 | 1 | 2;
  readonly oxygenLagFactor: number;
  readonly oxygenLagBank: 0 | 1 | 2;
  readonly thermostatOpenShare: number;
  /** Cam signal: extra revolutions until synchronised, and losses per minute of running. */
  readonly camExtraRevs: number;
  readonly camLossesPerMin: number;
  readonly knockDropDeg: number;
  readonly chargingV: number;
  readonly batterySagV: number;
  /** Torque that the lock-up clutch still holds [Nm]; 0: as it should. Beyond it the clutch slips by so much. */
  readonly lockupHoldNm: number;
  readonly lockupSlipRpmPerNm: number;
}

export const SOUND: Defects = {
  leakMm2: 0,
  leakBank1Share: 0.5,
  throttleAddMm2: 0,
  throttleScale: 1,
  throttleSlackPercent: 0,
  slackBothShare: 1,
  meterGain: 1,
  meterSlope: 0,
  mapOffsetKpa: 0,
  mapGain: 1,
  railSagKpa: 0,
  railBaseLossKpa: 0,
  injectorFlowFactor: 1,
  deadShiftMs: 0,
  deadShiftVoltPower: 1,
  exhaustLeakGps: 0,
  exhaustLeakFadeGps: 20,
  exhaustLeakBank: 0,
  oxygenLagFactor: 1,
  oxygenLagBank: 0,
  thermostatOpenShare: 0,
  camExtraRevs: 0,
  camLossesPerMin: 0,
  knockDropDeg: 0,
  chargingV: 0,
  batterySagV: 0,
  lockupHoldNm: 0,
  lockupSlipRpmPerNm: 0,
};

/** A vehicle as built: every true number that the recordings come from. */
export interface VirtualVehicle {
  readonly family: string;
  readonly label: string;
  readonly year: number;
  readonly strategy: AirStrategy;
  readonly switchRpm: number;
  readonly ambient: Ambient;
  readonly engine: EnginePlant;
  /** Breathing of the engine as the factory built it: the reference tables are made for this one. */
  readonly factoryBreathing: BreathingSpec;
  readonly injection: InjectionPlant;
  /** What the injector tables were made from, when the injectors themselves differ only by scatter. */
  readonly tableInjection: InjectionPlant;
  readonly fuel: FuelPlant;
  readonly exhaust: ExhaustPlant;
  readonly meter: MeterPlant;
  readonly body: BodyPlant;
  readonly transmission: TransmissionPlant;
  readonly thermal: ThermalPlant;
  readonly tuning: ControllerTuning;
  readonly outfit: SensorOutfit;
  readonly defects: Defects;
  readonly idleRpm: number;
  readonly memoryCleared: boolean;
  readonly changes: readonly string[];
}
