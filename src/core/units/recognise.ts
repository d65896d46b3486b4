import { parseUnit, type Unit } from "./conversions.ts";
import type { SignalId } from "./signals.ts";
import { CONCEPTS, NEUTRAL, type Pattern, QUALIFIERS, type SignalSpelling, SPELLINGS } from "./spellings.ts";

/** A name cut into concepts, and the numbers in it. */
export interface NameParts {
  readonly concepts: readonly string[];
  /** Words that no concept knows. */
  readonly unknown: readonly string[];
  /** Bank, sensor or track numbers; letters A and B count as 1 and 2. */
  readonly bank: number | undefined;
  readonly sensor: number | undefined;
}

/** A signal that a column may be, 0–1. */
export interface SignalGuess {
  readonly signal: SignalId;
  readonly confidence: number;
}

const { words, longest } = buildWords();

function buildWords(): { words: ReadonlyMap<string, string>; longest: number } {
  const map = new Map<string, string>();
  let most = 1;
  for (const [concept, spellings] of Object.entries(CONCEPTS))
    for (const spelling of spellings.split(" ")) {
      const key = spelling.replace(/\+(?=.)/g, " ");
      most = Math.max(most, key.split(" ").length);
      if (!map.has(key)) map.set(key, concept);
    }
  return { words: map, longest: most };
}

/** Lower-case words: cut at blanks, signs, case changes and between letters and digits. */
function cut(name: string): string[] {
  return name
    .replace(/[°º%λ]/g, (sign) => (sign === "λ" ? " lambda " : " "))
    .replace(/\bB\+/g, "battery")
    .replace(/\bA\/F\b/gi, " afr ")
    .replace(/\bO2\b|(?<=H?)O2(?=S|\b|_|\s|B|V)/gi, " oxygen ")
    .replace(/([a-z])([A-Z])/g, "$1 $2")
    .replace(/([A-Z]{2,})([A-Z][a-z]{2,})/g, "$1 $2")
    .replace(/([A-Za-z])(\d)/g, "$1 $2")
    .replace(/(\d)([A-Za-z])/g, "$1 $2")
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((word) => word !== "");
}

/** Cuts a column's name (its unit already taken off) into concepts. */
export function partsOfName(name: string): NameParts {
  const tokens = cut(name);
  const concepts: string[] = [];
  const unknown: string[] = [];
  const numbers = { bank: undefined as number | undefined, sensor: undefined as number | undefined };
  let loose: number[] = [];
  for (let i = 0; i < tokens.length; ) {
    const taken = takeNumber(tokens, i, numbers, loose);
    if (taken > 0) {
      i += taken;
      continue;
    }
    const phrase = takePhrase(tokens, i);
    if (phrase !== undefined) {
      concepts.push(phrase.concept);
      i += phrase.length;
    } else {
      const word = tokens[i]!;
      const run = NEUTRAL.has(word) ? [] : splitRun(word);
      if (run === undefined) unknown.push(word);
      else concepts.push(...run);
      i++;
    }
  }
  // "O2S21": two digits are bank and sensor; "STFT 2": one is the bank.
  if (numbers.bank === undefined && loose.length === 1 && loose[0]! >= 11 && loose[0]! <= 24) loose = [Math.floor(loose[0]! / 10), loose[0]! % 10];
  return { concepts, unknown, bank: numbers.bank ?? loose[0], sensor: numbers.sensor ?? loose[1] };
}

function takeNumber(tokens: readonly string[], i: number, numbers: { bank: number | undefined; sensor: number | undefined }, loose: number[]): number {
  const word = tokens[i]!;
  const next = tokens[i + 1];
  const number = next !== undefined && /^\d$/.test(next) ? Number(next) : undefined;
  if ((word === "b" || word === "bank" || word === "bnk") && number !== undefined) {
    numbers.bank = number;
    return 2;
  }
  if ((word === "s" || word === "sensor" || word === "sens") && number !== undefined) {
    // "sensor 1" of a throttle is the track; of an oxygen sensor with a bank it is the place.
    numbers.sensor = number;
    if (numbers.bank === undefined && word !== "s") loose.unshift(number);
    return 2;
  }
  if (/^\d+$/.test(word)) {
    loose.push(Number(word));
    return 1;
  }
  if (i > 0 && (word === "a" || word === "b") && (next === undefined || /^(pos|position)$/.test(next))) {
    loose.push(word === "a" ? 1 : 2);
    return 1;
  }
  return 0;
}

/** Concepts of words run together ("cmdlam", "coolanttemp"), undefined when the word does not fall into known ones of three letters up. */
function splitRun(word: string): string[] | undefined {
  for (let cut = word.length - 3; cut >= 3; cut--) {
    const head = words.get(word.slice(0, cut));
    const tail = word.slice(cut);
    const rest = words.get(tail);
    if (head !== undefined && rest !== undefined) return [head, rest];
    if (head !== undefined) {
      const deeper = splitRun(tail);
      if (deeper !== undefined) return [head, ...deeper];
    }
  }
  return undefined;
}

function takePhrase(tokens: readonly string[], i: number): { concept: string; length: number } | undefined {
  for (let length = Math.min(longest, tokens.length - i); length >= 1; length--) {
    const concept = words.get(tokens.slice(i, i + length).join(" "));
    if (concept !== undefined) return { concept, length };
  }
  return undefined;
}

/** All signals that a name and its unit allow, best first. `unit` undefined: none given; "unknown": given but not understood. */
export function guessSignals(name: string, unit: Unit | "unknown" | undefined): SignalGuess[] {
  const parts = partsOfName(name);
  const guesses: SignalGuess[] = [];
  for (const spelling of SPELLINGS) {
    const isGiven = unit !== undefined && unit !== "unknown" && spelling.quantities.includes(unit.quantity);
    const confidence = scoreSpelling(parts, spelling, isGiven) * unitFactor(unit, spelling);
    if (confidence >= 0.35) guesses.push({ signal: spelling.signal, confidence: Math.min(1, confidence) });
  }
  return guesses.sort((a, b) => b.confidence - a.confidence || (a.signal < b.signal ? -1 : 1));
}

function unitFactor(unit: Unit | "unknown" | undefined, { quantities }: SignalSpelling): number {
  if (unit === undefined) return 0.95;
  if (unit === "unknown") return 0.75;
  if (quantities.includes(unit.quantity)) return 1;
  // "-", "#" and the like say only that the writer had no unit to give.
  return unit.quantity === "count" || unit.quantity === "state" ? 0.8 : 0;
}

function scoreSpelling(parts: NameParts, spelling: SignalSpelling, isUnitGiven: boolean): number {
  let best = 0;
  for (const pattern of spelling.patterns)
    if (isUnitGiven || pattern.needsUnit !== true) best = Math.max(best, scorePattern(parts, pattern, spelling.quantities));
  if (best === 0) return 0;
  return best * numberFactor(parts, spelling);
}

function scorePattern(parts: NameParts, pattern: Pattern, quantities: readonly string[]): number {
  const left = [...parts.concepts];
  for (const concept of pattern.all) {
    const at = left.indexOf(concept);
    if (at < 0) return 0;
    left.splice(at, 1);
  }
  let score = pattern.weight;
  for (const concept of left) {
    if (pattern.may?.includes(concept) || pattern.all.includes(concept)) continue;
    if (isEcho(concept, quantities)) continue;
    if (QUALIFIERS.has(concept)) return 0;
    score *= 0.85;
  }
  // A strange word beside a loose pattern ("turbo speed") most likely names something else.
  return score * (pattern.weight < 0.9 ? 0.4 : 0.85) ** parts.unknown.length;
}

/** A word that only repeats what the signal is measured in: "O2 voltage", "spark angle", "battery volts", "MAP pressure". */
function isEcho(concept: string, quantities: readonly string[]): boolean {
  if (concept === "voltage") return quantities.includes("voltage");
  if (concept === "temperature") return quantities.includes("temperature");
  if (concept === "pressure") return quantities.includes("pressure");
  if (concept === "speed" || concept === "revs") return quantities.includes("rotation");
  if (concept === "angle" || concept === "position") return quantities.includes("angle") || quantities.includes("share");
  if (concept === "status") return quantities.includes("state") || quantities.includes("count");
  if (concept === "predicted" || concept === "raw") return false;
  return concept === "bank" || concept === "absolute";
}

function numberFactor(parts: NameParts, { number, signal }: SignalSpelling): number {
  const isOxygen = signal === "o2v1" || signal === "o2v2";
  if (isOxygen && parts.sensor !== undefined && parts.sensor !== 1) return 0;
  if (number === undefined) return parts.bank === undefined || parts.bank === 1 ? 1 : 0.9;
  if (parts.bank === undefined) return number === 1 ? 0.97 : 0;
  return parts.bank === number ? 1 : 0;
}

/** Takes the unit off a column's name: "Speed (km/h)", "MAP [kPa]", "ECT {°C}", "Speed, mph", "RPM - 1/min". */
export function splitNameAndUnit(text: string): { name: string; unitText: string } {
  const trimmed = text.trim();
  const bracket = /^(.*?)\s*[([{<]([^()[\]{}<>]*(?:\([^()]*\))?)[)\]}>]\s*$/.exec(trimmed);
  if (bracket !== null && bracket[1]!.trim() !== "") return { name: bracket[1]!.trim(), unitText: bracket[2]!.trim() };
  const tail = /^(.+?)\s*(?:,|;| - |\s\/\s)\s*(\S[^,;]*)$/.exec(trimmed);
  if (tail !== null && parseUnit(tail[2]!) !== undefined) return { name: tail[1]!.trim(), unitText: tail[2]!.trim() };
  return { name: trimmed, unitText: "" };
}
