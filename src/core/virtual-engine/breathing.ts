import type { Random } from "../../base/index.ts";

/** What shapes an engine's true volumetric efficiency. */
export interface BreathingSpec {
  readonly peakFraction: number;
  /** Engine speed of the broad maximum and how quickly filling falls on each side of it. */
  readonly peakRpm: number;
  readonly fallBelow: number;
  readonly fallAbove: number;
  /** Clearance over swept volume: residual gas re-expands into it. */
  readonly clearanceShare: number;
  /** Backflow through valve overlap, relative to a mild camshaft = 0.03. */
  readonly overlap: number;
  /** Loss at low speed from late intake closing. */
  readonly lateClosing: number;
  /** Waves in the runners: amplitude, centre and width over engine speed. */
  readonly waves: readonly { readonly amplitude: number; readonly rpm: number; readonly widthRpm: number; readonly loadShare: number }[];
  /** Fine structure that no simple form has: a sum of slow cosines in speed and pressure. */
  readonly ripples: readonly { readonly amplitude: number; readonly perRpm: number; readonly perKpa: number; readonly phase: number }[];
  /** Exhaust back pressure over ambient at full flow [kPa]. */
  readonly backPressureKpa: number;
  readonly maximumRpm: number;
  /** How far filling follows ambient pressure through the exhaust; at 0 it depends on manifold pressure alone. */
  readonly ambientShare: number;
}

/** True volumetric efficiency on a fine grid, referred to manifold pressure and true charge temperature. */
export interface BreathingMap {
  readonly spec: BreathingSpec;
  readonly exhaustKpa: number;
  readonly cells: Float64Array;
  readonly columns: number;
  readonly rows: number;
}

const RPM_STEP = 50;
const KPA_STEP = 2;
const LOWEST_KPA = 8;

/**
 * Volumetric efficiency [fraction] at a speed and a pressure.
 *
 * Clearance gas at exhaust pressure re-expands: 1 + c − c (pₑ/p)^(1/1.3) (guzzella-onder, from memory). Overlap lets exhaust run back, the
 * more the larger the pressure difference and the longer the time (1/N). Late intake closing pushes charge back at low speed.
 */
export function breathingFraction(spec: BreathingSpec, ambientKpa: number, rpm: number, mapKpa: number): number {
  const speed = rpm / spec.peakRpm;
  const broad = spec.peakFraction * (1 - (speed < 1 ? spec.fallBelow * (1 - speed) ** 1.8 : spec.fallAbove * (speed - 1) ** 1.7));
  const exhaustKpa = 99 + spec.ambientShare * (ambientKpa - 99) + spec.backPressureKpa * Math.min(1.2, (rpm / spec.maximumRpm) * (mapKpa / 100)) ** 2;
  const ratio = exhaustKpa / mapKpa;
  const clearance = 1 + spec.clearanceShare - spec.clearanceShare * ratio ** (1 / 1.3);
  const slow = 1400 / (rpm + 500);
  const backflow = ratio > 1 ? spec.overlap * slow * (1 - 1 / ratio) ** 0.6 * ratio ** 0.55 : 0.4 * spec.overlap * (1 - ratio);
  const late = spec.lateClosing * Math.exp(-((rpm / 1900) ** 1.3));
  let wave = 0;
  for (const w of spec.waves) {
    const away = (rpm - w.rpm) / w.widthRpm;
    wave += w.amplitude * Math.exp(-0.5 * away * away) * (1 - w.loadShare + (w.loadShare * mapKpa) / 100);
  }
  let ripple = 0;
  for (const r of spec.ripples) ripple += r.amplitude * Math.cos(r.perRpm * rpm + r.perKpa * mapKpa + r.phase);
  return Math.max(0.06, broad * (clearance - backflow - late) * (1 + wave + ripple));
}

export function breathingMap(spec: BreathingSpec, ambientKpa: number, highestKpa: number): BreathingMap {
  const columns = Math.ceil(spec.maximumRpm / RPM_STEP) + 2;
  const rows = Math.ceil((highestKpa - LOWEST_KPA) / KPA_STEP) + 2;
  const cells = new Float64Array(columns * rows);
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++) cells[r * columns + c] = breathingFraction(spec, ambientKpa, c * RPM_STEP, LOWEST_KPA + r * KPA_STEP);
  return { spec, exhaustKpa: ambientKpa, cells, columns, rows };
}

/** Volumetric efficiency from the fine grid [fraction], edges held. */
export function breathingAt(map: BreathingMap, rpm: number, mapKpa: number): number {
  const { cells, columns, rows } = map;
  let x = rpm / RPM_STEP;
  let y = (mapKpa - LOWEST_KPA) / KPA_STEP;
  if (x < 0) x = 0;
  else if (x > columns - 1.001) x = columns - 1.001;
  if (y < 0) y = 0;
  else if (y > rows - 1.001) y = rows - 1.001;
  const i = x | 0;
  const j = y | 0;
  const fx = x - i;
  const fy = y - j;
  const at = j * columns + i;
  const top = cells[at]! + fx * (cells[at + 1]! - cells[at]!);
  const bottom = cells[at + columns]! + fx * (cells[at + columns + 1]! - cells[at + columns]!);
  return top + fy * (bottom - top);
}

/** Draws a camshaft's and intake's breathing. `wild` 0 is a mild factory camshaft, 1 a big one. */
export function drawBreathing(
  random: Random,
  base: { readonly maximumRpm: number; readonly compressionRatio: number; readonly peakFraction: number; readonly peakRpm: number; readonly roughness: number },
): BreathingSpec {
  const waves = Array.from({ length: 4 }, (_, i) => ({
    amplitude: (i === 0 ? 0.035 : 0.018) * (0.5 + random.uniform()) * (random.chance(0.75) ? 1 : -1),
    rpm: base.maximumRpm * (i === 0 ? random.between(0.55, 0.8) : random.between(0.15, 0.95)),
    widthRpm: base.maximumRpm * random.between(0.06, 0.16),
    loadShare: random.between(0.2, 0.9),
  }));
  return {
    peakFraction: base.peakFraction,
    peakRpm: base.peakRpm,
    fallBelow: random.between(0.06, 0.16),
    fallAbove: random.between(0.45, 0.95),
    clearanceShare: (1 / (base.compressionRatio - 1)) * random.between(0.9, 1.15),
    overlap: random.between(0.045, 0.085),
    lateClosing: random.between(0.02, 0.06),
    waves,
    ripples: drawRipples(random, base.roughness),
    backPressureKpa: random.between(12, 35),
    maximumRpm: base.maximumRpm + 600,
    ambientShare: random.uniform(),
  };
}

/** A smooth random surface of relative size `deviation`: features some 700–3500 rpm and 18–90 kPa long. */
export function drawRipples(random: Random, deviation: number): BreathingSpec["ripples"] {
  const count = 14;
  return Array.from({ length: count }, () => ({
    amplitude: deviation * Math.sqrt(2 / count) * random.between(0.5, 1.5),
    perRpm: ((2 * Math.PI) / random.between(900, 4500)) * (random.chance(0.5) ? 1 : -1),
    perKpa: (2 * Math.PI) / random.between(28, 140),
    phase: random.between(0, 2 * Math.PI),
  }));
}

/** The same engine with another camshaft: `wild` 0.2 a towing camshaft, 1 a big one. */
export function withCamshaft(random: Random, spec: BreathingSpec, wild: number): BreathingSpec {
  return {
    ...spec,
    peakFraction: spec.peakFraction * (1 + 0.035 * wild),
    peakRpm: spec.peakRpm * (1 + 0.18 * wild * random.between(0.7, 1.3)),
    fallBelow: spec.fallBelow + 0.05 * wild * random.between(0.5, 1.5),
    fallAbove: spec.fallAbove * (1 - 0.25 * wild * random.between(0.6, 1.2)),
    overlap: spec.overlap + 0.13 * wild * random.between(0.75, 1.25),
    lateClosing: spec.lateClosing + 0.12 * wild * random.between(0.7, 1.3),
    waves: spec.waves.map((w) => ({ ...w, rpm: w.rpm * (1 + 0.05 * wild * random.normal()), amplitude: w.amplitude * random.between(0.8, 1.25) })),
    ripples: [...spec.ripples, ...drawRipples(random, 0.006 * wild)],
  };
}
