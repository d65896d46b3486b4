import type { Evidence } from "../result/index.ts";
import type { Fault } from "./define.ts";
import { CHANNEL_UNITS, type ResidualChannel } from "./deviation.ts";
import type { Facts } from "./facts.ts";
import { type Comparison, predicted, type StoryFit } from "./inference.ts";
import type { ResidualPoint } from "./points.ts";

/** Regions of operation that a person thinks in. */
type Region = "idle" | "light" | "high" | "rest";

const REGION_WORDS: Readonly<Record<Region, string>> = { idle: "at idle", light: "in light driving", high: "at high airflow", rest: "" };

const CHANNEL_WORDS: Readonly<Record<ResidualChannel, string>> = {
  fuel: "Fuel residual",
  model: "Meter over speed-density air",
  throttle: "Air beyond what the throttle's position promises",
  idle: "Metered less commanded idle airflow",
  "idle-need": "Commanded idle airflow beyond the base table's",
  "map-at-rest": "Manifold pressure at rest less ambient pressure",
  "map-at-full-load": "Manifold pressure at full load less what is expected",
  bank: "Trim of bank 1 over bank 2",
};

/** Mean of a residual over a region: what was seen, how sure, and where. */
export interface RegionMean {
  readonly channel: ResidualChannel;
  readonly region: Region;
  readonly air: "meter" | "speed-density" | "";
  readonly value: number;
  /** Standard deviation including honest errors. */
  readonly sd: number;
  readonly seconds: number;
  readonly indices: readonly number[];
  readonly span: ResidualPoint;
  /** Whether the value is a movement since an earlier visit, not a residual by itself. */
  readonly moved: boolean;
}

/** Residuals gathered by channel, region and the air model in use, for sentences. */
export function regionMeans(points: readonly ResidualPoint[], comparison: Comparison, facts: Facts): readonly RegionMean[] {
  const groups = new Map<string, number[]>();
  for (const [i, p] of points.entries()) {
    const air = p.channel === "fuel" ? (p.at.meterShare >= 0.5 ? "meter" : "speed-density") : "";
    const key = `${p.channel}|${regionOf(p, facts)}|${air}`;
    groups.set(key, [...(groups.get(key) ?? []), i]);
  }
  return [...groups.entries()]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, indices]) => {
      const [channel, region, air] = key.split("|") as [ResidualChannel, Region, RegionMean["air"]];
      const weights = indices.map((i) => points[i]!.sd ** -2);
      const total = weights.reduce((s, w) => s + w, 0);
      const mean = (of: (i: number) => number): number => indices.reduce((s, i, k) => s + of(i) * weights[k]!, 0) / total;
      const longest = [...indices].sort((a, b) => points[b]!.toS - points[b]!.fromS - (points[a]!.toS - points[a]!.fromS))[0]!;
      return {
        channel,
        region,
        air,
        value: mean((i) => comparison.values[i]!),
        sd: mean((i) => comparison.totalSd[i]!),
        seconds: indices.reduce((s, i) => s + points[i]!.seconds, 0),
        indices,
        span: points[longest]!,
        moved: (facts.input.earlier ?? []).length > 0,
      };
    });
}

function regionOf(point: ResidualPoint, facts: Facts): Region {
  if (point.channel === "map-at-rest" || point.channel === "map-at-full-load") return "rest";
  if (point.at.airflowGps < 1.6 * facts.idleAirGps && point.at.rpm < 1.5 * facts.idleRpm) return "idle";
  return point.at.airflowGps < 0.35 * facts.fullAirGps ? "light" : "high";
}

/** Sentences for and against a story: where it says what is seen, and where what it says is missing or something else is seen. */
export function storyEvidence(
  fault: Fault,
  fit: StoryFit,
  points: readonly ResidualPoint[],
  means: readonly RegionMean[],
  facts: Facts,
): { for: Evidence[]; against: Evidence[] } {
  const manner = fault.story!.manners.find((m) => m.id === fit.manner)!;
  const effect = predicted(points, manner, fit.size.value, facts);
  const judged = means.map((mean) =>
    judge(
      mean,
      weightedMean(mean.indices, points, (i) => effect[i]!),
    ),
  );
  const pick = (verdict: Verdict["verdict"], most: number): Evidence[] =>
    judged
      .filter((j) => j.verdict === verdict)
      .sort((a, b) => b.strength - a.strength)
      .slice(0, most)
      .map((j) => sentence(j.mean, j.says));
  return { for: [...pick("seen as said", 4), ...pick("silent as said", 2)], against: [...pick("said but not seen", 3), ...pick("seen but not said", 3)] };
}

interface Verdict {
  readonly mean: RegionMean;
  /** What the story says of this residual. */
  readonly says: number;
  readonly verdict: "seen as said" | "silent as said" | "said but not seen" | "seen but not said" | "tells nothing";
  readonly strength: number;
}

/** Compares what a story says of a residual with what was seen, both in ordinary scatters. */
function judge(mean: RegionMean, says: number): Verdict {
  const said = Math.abs(says) / mean.sd;
  const seen = Math.abs(mean.value) / mean.sd;
  const left = Math.abs(mean.value - says) / mean.sd;
  if (said > 0.8 && left < Math.max(0.8, 0.5 * said)) return { mean, says, verdict: "seen as said", strength: said - left };
  if (said > 0.8 && left > 1) return { mean, says, verdict: "said but not seen", strength: left };
  if (said < 0.3 && seen < 0.8 && isTelling(mean)) return { mean, says, verdict: "silent as said", strength: isTelling(mean) ? 1 - seen : 0 };
  if (said < 0.5 && seen > 1.5) return { mean, says, verdict: "seen but not said", strength: left };
  return { mean, says, verdict: "tells nothing", strength: 0 };
}

/** A silence says something only where faults would be heard above the ordinary scatter. */
const TELLING_LN = 0.12;

/** Residuals whose silence matters. */
function isTelling(mean: RegionMean): boolean {
  if (mean.channel === "idle-need" || (CHANNEL_UNITS[mean.channel] === "ln" && mean.sd > TELLING_LN)) return false;
  return mean.region === "idle" || mean.channel === "map-at-rest" || (mean.channel === "fuel" && mean.region === "high");
}

/** What speaks for and against nothing being broken. */
export function healthyEvidence(means: readonly RegionMean[]): { for: Evidence[]; against: Evidence[] } {
  const withZ = means.map((mean) => ({ mean, z: Math.abs(mean.value) / mean.sd }));
  return {
    for: withZ
      .filter(({ mean, z }) => z < 1 && isTelling(mean))
      .sort((a, b) => a.z - b.z)
      .slice(0, 4)
      .map(({ mean }) => sentence(mean, 0)),
    against: withZ
      .filter(({ z }) => z > 1.7)
      .sort((a, b) => b.z - a.z)
      .slice(0, 4)
      .map(({ mean }) => sentence(mean, 0)),
  };
}

/** The residual and where it was seen, in words. */
export function titleOf(mean: Pick<RegionMean, "channel" | "region" | "air">): string {
  const where = [REGION_WORDS[mean.region], mean.air === "" ? "" : mean.air === "meter" ? "on the meter's air" : "on speed-density air"]
    .filter((w) => w !== "")
    .join(", ");
  return `${CHANNEL_WORDS[mean.channel]}${where === "" ? "" : ` ${where}`}`;
}

function sentence(mean: RegionMean, says: number): Evidence {
  const scatter = figure(mean.channel, mean.sd).replace(/^[+−]/, "");
  return {
    text: `${titleOf(mean)}: ${mean.moved ? "moved by " : ""}${figure(mean.channel, mean.value)}${mean.moved ? "" : " seen"}, ${expected(mean, says)} (ordinary scatter ${scatter})`,
    recording: mean.span.recording,
    fromS: mean.span.fromS,
    toS: mean.span.toS,
  };
}

function expected(mean: RegionMean, says: number): string {
  return Math.abs(says) < 0.15 * mean.sd ? "none expected" : `${figure(mean.channel, says)} expected by this story`;
}

/** A residual as a person reads it: percent for logarithms, else its unit. */
export function figure(channel: ResidualChannel, value: number): string {
  const unit = CHANNEL_UNITS[channel];
  const shown = unit === "ln" ? 100 * Math.expm1(value) : value;
  const digits = unit === "g/s" ? 2 : 1;
  const size = Math.abs(shown).toFixed(digits);
  const sign = Number(size) === 0 ? "" : shown < 0 ? "−" : "+";
  return `${sign}${size} ${unit === "ln" ? "%" : unit}`;
}

function weightedMean(indices: readonly number[], points: readonly ResidualPoint[], of: (i: number) => number): number {
  let sum = 0;
  let total = 0;
  for (const i of indices) {
    const weight = points[i]!.sd ** -2;
    sum += of(i) * weight;
    total += weight;
  }
  return sum / total;
}
