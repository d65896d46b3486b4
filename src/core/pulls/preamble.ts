import { convert, isConvertible, parseUnit } from "../units/index.ts";

/** What the lines above a sweep's header say, in canonical units. What is not said is absent. */
export interface SweepNotes {
  readonly pressureKpa?: number;
  readonly temperatureC?: number;
  readonly relativeHumidityPercent?: number;
  readonly dewPointC?: number;
  readonly vapourKpa?: number;
  readonly gear?: number;
  readonly gearRatio?: number;
  readonly axleRatio?: number;
  readonly tireRevsPerKm?: number;
  /** Whether the force already holds what the rollers' inertia takes. */
  readonly isInertiaInForce?: boolean;
  readonly rollerInertiaKgM2?: number;
  readonly rollerRadiusM?: number;
  /** Mass that the rollers' inertia counts as at their surface. */
  readonly rollerMassKg?: number;
  readonly vehicleMassKg?: number;
  /** A correction that the file says its figures already carry. */
  readonly correction?: string;
}

interface Reading {
  readonly value: number;
  readonly unit: string;
}

const NUMBER = /[-+−]?\d+(?:[.,]\d+)?/;

function readingOf(text: string): Reading | undefined {
  const found = NUMBER.exec(text);
  if (found === null) return undefined;
  const value = Number(found[0].replace("−", "-").replace(",", "."));
  return { value, unit: text.slice(found.index + found[0].length).trim() };
}

/** A value in the wanted unit; where the file gives no unit that is known, `guess` names the likely one by the size of the value. */
function inUnit(reading: Reading, wanted: string, guess: (value: number) => string | undefined): number | undefined {
  const word = reading.unit.split(/\s{2,}|[;,)]/)[0]!.trim();
  const unit = parseUnit(word) ?? parseUnit(word.split(" ")[0] ?? "");
  if (unit !== undefined && isConvertible(unit, wanted)) return convert(reading.value, unit, wanted);
  const guessed = guess(reading.value);
  return guessed === undefined ? undefined : convert(reading.value, guessed, wanted);
}

function pressureUnit(value: number): string | undefined {
  if (value > 700 && value < 1120) return "hPa";
  if (value > 560 && value <= 700) return "mmHg";
  if (value > 55 && value < 115) return "kPa";
  if (value > 17 && value < 33) return "inHg";
  if (value > 9 && value <= 17) return "psi";
  return value > 0.6 && value < 1.15 ? "bar" : undefined;
}

const temperatureUnit = (value: number): string | undefined => (value > 230 ? "K" : value > 52 ? "°F" : value > -45 ? "°C" : undefined);

type Notes = { -readonly [K in keyof SweepNotes]: SweepNotes[K] };
interface Rule {
  readonly key: RegExp;
  readonly not?: RegExp;
  read(notes: Notes, value: string, line: string): void;
}

const set =
  (field: "pressureKpa" | "temperatureC" | "dewPointC" | "vapourKpa", wanted: string, guess: (value: number) => string | undefined) =>
  (notes: Notes, value: string): void => {
    const reading = readingOf(value);
    if (reading !== undefined && notes[field] === undefined) notes[field] = inUnit(reading, wanted, guess);
  };

const setNumber =
  (field: "axleRatio" | "gearRatio") =>
  (notes: Notes, value: string): void => {
    const reading = readingOf(value);
    if (reading !== undefined && reading.value > 0) notes[field] ??= reading.value;
  };

function readHumidity(notes: Notes, value: string): void {
  const reading = readingOf(value);
  if (reading === undefined) return;
  const isShare = reading.value <= 1 && !reading.unit.startsWith("%");
  notes.relativeHumidityPercent ??= isShare ? reading.value * 100 : reading.value;
}

function readGear(notes: Notes, value: string): void {
  const reading = readingOf(value);
  if (reading === undefined) return;
  if (Number.isInteger(reading.value)) notes.gear ??= reading.value;
  else notes.gearRatio ??= reading.value;
  const second = readingOf(reading.unit.replace(/^(st|nd|rd|th)\b/, ""));
  if (second !== undefined && !Number.isInteger(second.value)) notes.gearRatio ??= second.value;
}

/** "Roller inertia included in force", "Roller inertia: not included", "Roller inertia: 240 kg m²", "Roller inertia: 1500 kg (included)". */
function readInertia(notes: Notes, value: string, line: string): void {
  if (/\b(not|excluded|excl|without|no|none)\b/i.test(line)) notes.isInertiaInForce = false;
  else if (/\b(incl|included|includes|including|yes|compensated|contained|corrected|in (the )?force)\b/i.test(line)) notes.isInertiaInForce = true;
  const reading = readingOf(value);
  if (reading === undefined) return;
  const perSquare = /^\s*(kg|lb)\s*[·*.-]?\s*(m|ft)\s*[²2^]/i.exec(reading.unit);
  if (perSquare !== null)
    notes.rollerInertiaKgM2 =
      reading.value * (perSquare[1]!.toLowerCase() === "lb" ? 0.45359237 : 1) * (perSquare[2]!.toLowerCase() === "ft" ? 0.3048 ** 2 : 1);
  else notes.rollerMassKg = inUnit(reading, "kg", () => "kg");
}

function readRoller(notes: Notes, value: string, line: string): void {
  const reading = readingOf(value);
  if (reading === undefined) return;
  const lengthM = (inUnit(reading, "mm", (v) => (v < 10 ? "m" : "mm")) ?? Number.NaN) / 1000;
  if (!(lengthM > 0)) return;
  notes.rollerRadiusM ??= /circumf/i.test(line) ? lengthM / (2 * Math.PI) : /diam/i.test(line) ? lengthM / 2 : lengthM;
}

const RULES: readonly Rule[] = [
  { key: /dew/i, read: set("dewPointC", "°C", temperatureUnit) },
  { key: /vapou?r/i, read: set("vapourKpa", "kPa", (v) => (v > 4.5 ? "hPa" : "kPa")) },
  { key: /humid|^r\.?h\.?$/i, read: readHumidity },
  {
    key: /baro|(ambient|atmos|station|room|cell|air|weather|day).*press|^press|^qfe$/i,
    not: /t[iy]re|fuel|rail|oil|boost|manifold|line/i,
    read: set("pressureKpa", "kPa", pressureUnit),
  },
  {
    key: /(ambient|room|cell|outside|weather|day).*temp|^(air )?temp|inlet.*temp|intake.*temp/i,
    not: /oil|coolant|water|fuel/i,
    read: set("temperatureC", "°C", temperatureUnit),
  },
  { key: /inertia|(equivalent|effective|inertial).*mass/i, read: readInertia },
  { key: /(roller|drum).*(radius|diameter|circumf)/i, read: readRoller },
  { key: /(axle|final).*(ratio|drive)|^axle$/i, read: setNumber("axleRatio") },
  { key: /gear.*ratio|ratio.*gear/i, read: setNumber("gearRatio") },
  { key: /gear/i, not: /gearbox|oil/i, read: readGear },
  {
    key: /t[iy]re.*rev|rev.*t[iy]re/i,
    read: (notes, value) => {
      const reading = readingOf(value);
      if (reading !== undefined) notes.tireRevsPerKm ??= inUnit(reading, "1/km", (v) => (v > 560 ? "1/mi" : "1/km"));
    },
  },
  {
    key: /(vehicle|test|car).*(mass|weight)|^mass$|^weight$/i,
    read: (notes, value) => {
      const reading = readingOf(value);
      if (reading !== undefined) notes.vehicleMassKg ??= inUnit(reading, "kg", () => "kg");
    },
  },
  {
    key: /correct/i,
    read: (notes, value) => {
      if (!/^(none|no|off|uncorrected|raw|as measured|1(\.0+)?|)$/i.test(value.trim())) notes.correction = value.trim();
    },
  },
];

/** Ambient values said to be ambient come before those of the intake tract, whatever the order of the lines. */
const rank = (key: string): number => (/ambient|baro|room|cell/i.test(key) ? 0 : 1);

/**
 * Reads the notes above a sweep's header in any wording and unit; lines that say nothing of use are passed over. A value without a
 * unit takes the unit that its size allows.
 */
export function readSweepNotes(preamble: Readonly<Record<string, string>>): SweepNotes {
  const notes: Notes = {};
  const lines = Object.entries(preamble).sort(([a], [b]) => rank(a) - rank(b));
  for (const [key, value] of lines) {
    const name = key.trim();
    const rule = RULES.find((candidate) => candidate.key.test(name) && !(candidate.not?.test(name) ?? false));
    rule?.read(notes, value === "" ? name : value, `${name} ${value}`);
  }
  return notes;
}
