import type { Random } from "../../base/index.ts";
import type { SignalId } from "../units/index.ts";

/** How a logger writes files: separators, units row, names, units of some quantities. Invented, of the kinds the contract lists. */
export interface Dialect {
  readonly id: string;
  readonly separator: "," | ";" | "\t";
  readonly decimalComma: boolean;
  readonly quoted: boolean;
  readonly time: "seconds" | "milliseconds" | "clock";
  readonly units: "brackets" | "parentheses" | "row" | "none";
  readonly names: "j1930" | "plain" | "short";
  readonly imperial: boolean;
  /** Lambda as air-fuel ratio on the 14.7 scale. */
  readonly afr: boolean;
  readonly preamble: readonly string[];
}

export const DIALECTS: readonly Dialect[] = [
  {
    id: "plain-commas",
    separator: ",",
    decimalComma: false,
    quoted: false,
    time: "seconds",
    units: "brackets",
    names: "plain",
    imperial: false,
    afr: false,
    preamble: [],
  },
  {
    id: "semicolons",
    separator: ";",
    decimalComma: true,
    quoted: false,
    time: "clock",
    units: "row",
    names: "plain",
    imperial: false,
    afr: false,
    preamble: ["Recorder: bench", "Comment: as received"],
  },
  {
    id: "tabs",
    separator: "\t",
    decimalComma: false,
    quoted: false,
    time: "seconds",
    units: "none",
    names: "j1930",
    imperial: false,
    afr: false,
    preamble: ["Recorder: bench"],
  },
  {
    id: "imperial",
    separator: ",",
    decimalComma: false,
    quoted: false,
    time: "milliseconds",
    units: "row",
    names: "plain",
    imperial: true,
    afr: false,
    preamble: ["Recorder: bench", "Port: diagnostic"],
  },
  {
    id: "quoted",
    separator: ",",
    decimalComma: false,
    quoted: true,
    time: "seconds",
    units: "parentheses",
    names: "short",
    imperial: true,
    afr: true,
    preamble: ["Recording of a drive"],
  },
  {
    id: "short-semicolons",
    separator: ";",
    decimalComma: true,
    quoted: false,
    time: "seconds",
    units: "parentheses",
    names: "short",
    imperial: false,
    afr: false,
    preamble: [],
  },
];

export function drawDialect(random: Random): Dialect {
  return random.pick(DIALECTS);
}

type Names = readonly [j1930: string, plain: string, short: string];

const NAMES: Readonly<Partial<Record<SignalId, Names>>> = {
  rpm: ["RPM", "Engine speed", "RPM"],
  map: ["MAP", "Manifold absolute pressure", "MAP"],
  baro: ["BARO", "Barometric pressure", "Baro"],
  maf: ["MAF", "Mass air flow", "MAF"],
  mafHz: ["MAF_FREQ", "Airflow meter frequency", "MAF freq"],
  tp1: ["TP", "Throttle position 1", "Throttle 1"],
  tp2: ["TP2", "Throttle position 2", "Throttle 2"],
  pedal: ["APP", "Accelerator pedal position", "Pedal"],
  ect: ["ECT", "Engine coolant temperature", "ECT"],
  iat: ["IAT", "Intake air temperature", "IAT"],
  lambda: ["LAMBDA", "Lambda measured", "Lambda"],
  lambdaTarget: ["LAMBDA_CMD", "Lambda commanded", "Lambda target"],
  stft1: ["SHRTFT1", "Short term fuel trim bank 1", "STFT B1"],
  stft2: ["SHRTFT2", "Short term fuel trim bank 2", "STFT B2"],
  ltft1: ["LONGFT1", "Long term fuel trim bank 1", "LTFT B1"],
  ltft2: ["LONGFT2", "Long term fuel trim bank 2", "LTFT B2"],
  o2v1: ["O2S11", "Oxygen sensor voltage bank 1 sensor 1", "O2 B1S1"],
  o2v2: ["O2S21", "Oxygen sensor voltage bank 2 sensor 1", "O2 B2S1"],
  closedLoop: ["CL", "Closed loop active", "Closed loop"],
  spark: ["SPARKADV", "Spark advance", "Spark"],
  knockRetard: ["KNOCK_RETARD", "Knock retard", "Knock retard"],
  injMs: ["INJ_PW", "Injector pulse width", "Inj PW"],
  battery: ["VPWR", "Battery voltage", "Battery"],
  vss: ["VSS", "Vehicle speed", "Speed"],
  gear: ["GEAR", "Gear", "Gear"],
  lockupDuty: ["TCC", "Lock-up duty", "Lockup duty"],
  slip: ["TCC_SLIP", "Converter slip", "Slip"],
  turbineRpm: ["TSS", "Turbine shaft speed", "Turbine"],
  idleAirTarget: ["IDLE_AIR_CMD", "Idle airflow commanded", "Idle air cmd"],
  idleAirAdapt: ["IDLE_AIR_LEARN", "Idle airflow learned", "Idle air learned"],
  idleTarget: ["IDLE_RPM_CMD", "Idle speed target", "Idle target"],
  camSync: ["CMP_SYNC", "Cam synchronised", "Cam sync"],
  crankCount: ["CKP_COUNT", "Crankshaft revolution count", "Crank count"],
  mapTarget: ["MAP_CMD", "Manifold pressure target", "MAP target"],
  torque: ["TORQUE", "Engine torque", "Torque"],
  linePressure: ["LINE_PRESS", "Line pressure", "Line press"],
  rollerKmh: ["ROLLER_SPEED", "Roller speed", "Roller speed"],
  rollerForceN: ["ROLLER_FORCE", "Roller force", "Roller force"],
};

/** Unit as written, and how a canonical value becomes one: written = canonical · scale + offset. */
export interface WrittenUnit {
  readonly unit: string;
  readonly scale: number;
  readonly offset: number;
  readonly decimals: number;
}

const METRIC: Readonly<Partial<Record<SignalId, readonly [string, number]>>> = {
  rpm: ["rpm", 2],
  map: ["kPa", 1],
  baro: ["kPa", 1],
  maf: ["g/s", 2],
  mafHz: ["Hz", 0],
  tp1: ["%", 2],
  tp2: ["%", 2],
  pedal: ["%", 2],
  ect: ["°C", 0],
  iat: ["°C", 0],
  lambda: ["λ", 3],
  lambdaTarget: ["λ", 4],
  stft1: ["%", 2],
  stft2: ["%", 2],
  ltft1: ["%", 2],
  ltft2: ["%", 2],
  o2v1: ["V", 3],
  o2v2: ["V", 3],
  closedLoop: ["", 0],
  spark: ["deg", 1],
  knockRetard: ["deg", 1],
  injMs: ["ms", 3],
  battery: ["V", 2],
  vss: ["km/h", 0],
  gear: ["", 0],
  lockupDuty: ["%", 2],
  slip: ["rpm", 0],
  turbineRpm: ["rpm", 0],
  idleAirTarget: ["g/s", 2],
  idleAirAdapt: ["g/s", 2],
  idleTarget: ["rpm", 1],
  camSync: ["", 0],
  crankCount: ["", 0],
  mapTarget: ["kPa", 0],
  torque: ["Nm", 0],
  linePressure: ["kPa", 0],
  rollerKmh: ["km/h", 1],
  rollerForceN: ["N", 1],
};

/** Factors from the exact definitions of the formula sheet, PH-17. */
const IMPERIAL: Readonly<Partial<Record<SignalId, WrittenUnit>>> = {
  map: { unit: "psi", scale: 1 / 6.894757, offset: 0, decimals: 3 },
  baro: { unit: "psi", scale: 1 / 6.894757, offset: 0, decimals: 2 },
  mapTarget: { unit: "psi", scale: 1 / 6.894757, offset: 0, decimals: 2 },
  linePressure: { unit: "psi", scale: 1 / 6.894757, offset: 0, decimals: 1 },
  maf: { unit: "lb/min", scale: 60 / 453.59237, offset: 0, decimals: 4 },
  idleAirTarget: { unit: "lb/min", scale: 60 / 453.59237, offset: 0, decimals: 4 },
  idleAirAdapt: { unit: "lb/min", scale: 60 / 453.59237, offset: 0, decimals: 4 },
  ect: { unit: "°F", scale: 1.8, offset: 32, decimals: 1 },
  iat: { unit: "°F", scale: 1.8, offset: 32, decimals: 1 },
  vss: { unit: "mph", scale: 1 / 1.609344, offset: 0, decimals: 1 },
  rollerKmh: { unit: "mph", scale: 1 / 1.609344, offset: 0, decimals: 2 },
};

export function writtenName(signal: SignalId, dialect: Dialect): string {
  const names = NAMES[signal];
  if (names === undefined) return signal;
  return dialect.names === "j1930" ? names[0] : dialect.names === "plain" ? names[1] : names[2];
}

export function writtenUnit(signal: SignalId, dialect: Dialect): WrittenUnit {
  if (dialect.afr && (signal === "lambda" || signal === "lambdaTarget")) return { unit: "AFR", scale: 14.7, offset: 0, decimals: 2 };
  const imperial = dialect.imperial ? IMPERIAL[signal] : undefined;
  if (imperial !== undefined) return imperial;
  const [unit, decimals] = METRIC[signal] ?? ["", 3];
  return { unit, scale: 1, offset: 0, decimals };
}
