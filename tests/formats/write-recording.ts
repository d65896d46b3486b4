import type { Random } from "../../src/base/index.ts";
import { applyConversion, conversionOf, describeSignal, type SignalId } from "../../src/core/units/index.ts";

/** How one file is written. */
export interface Manner {
  readonly delimiter: "," | ";" | "\t" | "; ";
  readonly decimal: "." | ",";
  readonly units: "row" | "round" | "square" | "none";
  readonly preambleLines: number;
  readonly time: "s" | "ms" | "clock" | "iso" | "midnight";
  readonly lineEnd: "\n" | "\r\n" | "\r";
  readonly encoding: "utf-8" | "bom" | "utf-16le" | "utf-16be" | "latin-1";
  readonly isQuoted: boolean;
  readonly trailing: boolean;
  readonly blankPeriod: number;
  readonly states: "01" | "ON/OFF" | "True/False";
  readonly system: "metric" | "imperial" | "german";
  readonly footer: boolean;
  readonly thousands: boolean;
  readonly lastLineEnd: boolean;
}

/** Names that mean one signal, and the units that it is written in by system: [symbol, spellings]. */
const VOCABULARY: Readonly<
  Partial<Record<SignalId, { readonly names: readonly string[]; readonly units: Readonly<Record<Manner["system"], readonly [string, ...string[]]>> }>>
> = {
  rpm: {
    names: ["RPM", "Engine RPM", "Engine speed", "ENGINE_SPEED"],
    units: { metric: ["rpm", "rpm", "1/min"], imperial: ["rpm", "RPM"], german: ["rpm", "U/min"] },
  },
  map: {
    names: ["MAP", "Manifold absolute pressure", "INTAKE_PRESSURE", "Manifold Abs Pressure"],
    units: { metric: ["kPa", "kPa", "KPA"], imperial: ["psi", "psi", "PSIA"], german: ["hPa", "hPa", "mbar"] },
  },
  baro: {
    names: ["BARO", "Barometric pressure", "Baro press"],
    units: { metric: ["kPa", "kPa"], imperial: ["inHg", "inHg", "in Hg"], german: ["hPa", "hPa", "mbar"] },
  },
  maf: {
    names: ["MAF", "Mass air flow", "Mass airflow rate", "Engine airflow"],
    units: { metric: ["g/s", "g/s", "g/sec"], imperial: ["lb/min", "lb/min", "lbs/min"], german: ["kg/h", "kg/h", "kg/hr"] },
  },
  ect: {
    names: ["ECT", "Coolant temp", "Engine coolant temperature"],
    units: { metric: ["°C", "°C", "degC", "C"], imperial: ["°F", "°F", "deg F"], german: ["°C", "°C"] },
  },
  iat: {
    names: ["IAT", "Intake air temp", "Inlet air temperature"],
    units: { metric: ["°C", "°C", "degC"], imperial: ["°F", "°F", "deg F"], german: ["°C", "°C"] },
  },
  tp1: {
    names: ["TP", "Throttle position 1", "TPS 1", "Absolute throttle position"],
    units: { metric: ["%", "%"], imperial: ["%", "%", "percent"], german: ["%", "%"] },
  },
  vss: { names: ["VSS", "Vehicle speed", "Speed"], units: { metric: ["km/h", "km/h", "kph"], imperial: ["mph", "mph", "MPH"], german: ["km/h", "km/h"] } },
  lambda: {
    names: ["LAMBDA", "Wideband lambda", "Lambda measured"],
    units: { metric: ["lambda", "lambda", "λ"], imperial: ["AFR", "AFR", "A/F"], german: ["lambda", "lambda"] },
  },
  stft1: { names: ["SHRTFT1", "STFT B1", "Short term fuel trim bank 1"], units: { metric: ["%", "%"], imperial: ["%", "%"], german: ["%", "%"] } },
  ltft1: { names: ["LONGFT1", "LTFT B1", "Long term fuel trim bank 1"], units: { metric: ["%", "%"], imperial: ["%", "%"], german: ["%", "%"] } },
  o2v1: { names: ["O2S11", "O2 B1S1", "Oxygen sensor voltage bank 1 sensor 1"], units: { metric: ["V", "V"], imperial: ["V", "Volts"], german: ["mV", "mV"] } },
  spark: { names: ["SPARKADV", "Spark advance", "Ignition timing"], units: { metric: ["deg", "°", "deg"], imperial: ["deg", "deg"], german: ["deg", "°CA"] } },
  injMs: { names: ["INJ_PW", "Injector pulse width", "Injection time"], units: { metric: ["ms", "ms"], imperial: ["ms", "msec"], german: ["ms", "ms"] } },
  battery: { names: ["VPWR", "Battery voltage", "System voltage"], units: { metric: ["V", "V"], imperial: ["V", "Volts"], german: ["V", "V"] } },
  gear: { names: ["GEAR", "Current gear", "Gear"], units: { metric: ["-", ""], imperial: ["-", ""], german: ["-", ""] } },
  closedLoop: { names: ["CL_STATUS", "Closed loop active", "Closed loop"], units: { metric: ["0/1", ""], imperial: ["0/1", ""], german: ["0/1", ""] } },
};

export interface Truth {
  readonly timeS: Float64Array;
  readonly channels: ReadonlyMap<SignalId, Float64Array>;
}

/** A short drive in canonical units that hangs together: airflow fills the engine, gears carry it along, the engine stands at first. */
export function makeDrive(random: Random, rows: number): Truth {
  const timeS = new Float64Array(rows);
  const channels = new Map<SignalId, Float64Array>();
  for (const signal of Object.keys(VOCABULARY) as SignalId[]) channels.set(signal, new Float64Array(rows));
  const set = (signal: SignalId, i: number, value: number): void => {
    channels.get(signal)![i] = value;
  };
  const ratios = [3.06, 1.63, 1, 0.7];
  for (let i = 0; i < rows; i++) {
    const at = i / rows;
    timeS[i] = Math.round(i * 100 + (i === 0 ? 0 : random.between(-20, 20))) / 1000;
    const isOff = i < 12;
    const gear = isOff ? 0 : 1 + Math.min(3, Math.floor(at * 4.5));
    const rpm = isOff ? 0 : 900 + 2600 * (0.5 + 0.5 * Math.sin(i / 17)) + random.between(-20, 20);
    const map = isOff ? 98 : 30 + 64 * (0.5 + 0.5 * Math.sin(i / 23 + 1));
    set("rpm", i, rpm);
    set("map", i, map);
    set("baro", i, 98);
    set("maf", i, isOff ? 0.5 : (0.0055 + 0.0025 * Math.sin(i / 40)) * map * (rpm / 120) * (6 / 0.28705) * (1 / 298) * 100);
    set("ect", i, 20 + 70 * Math.min(1, at * 2));
    set("iat", i, 18 + 8 * at);
    set("tp1", i, isOff ? 0 : 5 + 80 * (0.5 + 0.5 * Math.sin(i / 23 + 1)));
    set("vss", i, gear === 0 ? 0 : (rpm * 60) / (ratios[gear - 1]! * 3.73 * 416));
    set("lambda", i, 0.85 + 0.3 * random.uniform());
    set("stft1", i, random.between(-6, 7));
    set("ltft1", i, 4 + 6 * Math.sin(i / 31));
    set("o2v1", i, random.between(0.05, 0.9));
    set("spark", i, 8 + 28 * random.uniform());
    set("injMs", i, isOff ? 0 : 2 + map / 12);
    set("battery", i, isOff ? 12.3 : 14.1 + 0.2 * random.uniform());
    set("gear", i, gear);
    set("closedLoop", i, at > 0.2 && i % 90 > 15 ? 1 : 0);
  }
  return { timeS, channels };
}

/** Intake facts of the drive above. */
export const DRIVE_INTAKE = {
  vehicle: { axleRatio: 3.73, tireRevsPerKm: 416, gearRatios: [3.06, 1.63, 1, 0.7] },
  engine: { displacementL: 6, cylinders: 8 },
  ambient: { pressureKpa: 98 },
} as const;

const FAST: ReadonlySet<SignalId> = new Set(["rpm", "map", "maf"]);
const DECIMALS = 4;

/** Writes the drive in one manner. `kept` tells which rows of which signal have a sample. */
export function writeRecording(truth: Truth, manner: Manner, random: Random): { bytes: Uint8Array; kept: ReadonlyMap<SignalId, readonly boolean[]> } {
  const signals = shuffled([...truth.channels.keys()], random);
  const delimiter = manner.delimiter;
  const number = (value: number, decimals = DECIMALS): string => {
    let text = String(Number(value.toFixed(decimals)));
    if (manner.thousands && Math.abs(value) >= 1000) {
      const [whole, rest] = text.split(".");
      text = whole!.replace(/\B(?=(\d{3})+$)/g, ",") + (rest === undefined ? "" : `.${rest}`);
    }
    return manner.decimal === "," ? text.replace(/[.,]/g, (mark) => (mark === "." ? "," : ".")) : text;
  };
  const field = (text: string): string => (manner.isQuoted || text.includes(delimiter.trim() === "" ? delimiter : delimiter.trim()) ? `"${text}"` : text);
  const chosen = signals.map((signal) => {
    const { names, units } = VOCABULARY[signal]!;
    const [symbol, ...spellings] = units[manner.system];
    return { signal, name: random.pick(names), symbol, spelling: spellings.length === 0 ? "" : random.pick(spellings) };
  });
  const timeUnit = manner.time === "s" ? "s" : manner.time === "ms" ? "ms" : "hh:mm:ss.mmm";
  const header = [["Time", timeUnit], ...chosen.map(({ name, spelling }) => [name, spelling])].map(([name, unit]) =>
    field(unit === "" || manner.units === "none" || manner.units === "row" ? name! : manner.units === "round" ? `${name} (${unit})` : `${name} [${unit}]`),
  );
  const lines: string[] = ["Recording: drive", "Operator: bench 2", "Rows: 300, as driven", "", "Comment; none"].slice(0, manner.preambleLines);
  lines.push(header.join(delimiter));
  if (manner.units === "row") lines.push([timeUnit, ...chosen.map(({ spelling }) => spelling)].map(field).join(delimiter));
  const kept = new Map<SignalId, boolean[]>(signals.map((signal) => [signal, []]));
  const phases = new Map(signals.map((signal) => [signal, random.whole(0, manner.blankPeriod)]));
  truth.timeS.forEach((seconds, row) => {
    const cells = chosen.map(({ signal, symbol }) => {
      const has = manner.blankPeriod <= 1 || FAST.has(signal) || (row + phases.get(signal)!) % manner.blankPeriod === 0;
      kept.get(signal)!.push(has);
      if (!has) return "";
      const value = truth.channels.get(signal)![row]!;
      if (signal === "closedLoop")
        return manner.states === "01" ? String(value) : manner.states === "ON/OFF" ? (value === 1 ? "ON" : "OFF") : value === 1 ? "True" : "False";
      const canonical = describeSignal(signal).unit;
      return field(number(symbol === canonical || symbol === "-" ? value : applyConversion(value, conversionOf(canonical, symbol))));
    });
    lines.push([field(timeText(seconds, manner, number)), ...cells].join(delimiter));
  });
  if (manner.footer) lines.push("End of recording");
  const trailing = manner.trailing ? delimiter.trim() || delimiter : "";
  const first = manner.preambleLines;
  const text =
    lines.map((line, i) => (i >= first && !(manner.footer && i === lines.length - 1) ? line + trailing : line)).join(manner.lineEnd) +
    (manner.lastLineEnd ? manner.lineEnd : "");
  return { bytes: encode(text, manner.encoding), kept };
}

function shuffled<T>(items: T[], random: Random): T[] {
  for (let i = items.length - 1; i > 0; i--) {
    const j = random.whole(0, i);
    [items[i], items[j]] = [items[j]!, items[i]!];
  }
  return items;
}

function timeText(seconds: number, manner: Manner, number: (value: number, decimals: number) => string): string {
  if (manner.time === "s") return number(seconds, 3);
  if (manner.time === "ms") return String(Math.round(seconds * 1000));
  const start = manner.time === "midnight" ? 86400 - 7 : 9 * 3600 + 58 * 60 + 55.5;
  const ms = Math.round((start + seconds) * 1000) % 86_400_000;
  const two = (n: number): string => String(Math.floor(n)).padStart(2, "0");
  const clock = `${two(ms / 3_600_000)}:${two((ms / 60_000) % 60)}:${two((ms / 1000) % 60)}.${String(ms % 1000).padStart(3, "0")}`;
  return manner.time === "iso" ? `2026-03-05T${clock}Z` : clock;
}

function encode(text: string, encoding: Manner["encoding"]): Uint8Array {
  if (encoding === "utf-8") return new TextEncoder().encode(text);
  if (encoding === "bom") return new TextEncoder().encode(`\uFEFF${text}`);
  if (encoding === "latin-1") return Uint8Array.from(text.replaceAll("λ", "lambda"), (sign) => sign.charCodeAt(0));
  const out = new Uint8Array(2 + 2 * text.length);
  const view = new DataView(out.buffer);
  const isLittle = encoding === "utf-16le";
  view.setUint16(0, 0xfeff, isLittle);
  for (let i = 0; i < text.length; i++) view.setUint16(2 + 2 * i, text.charCodeAt(i), isLittle);
  return out;
}
