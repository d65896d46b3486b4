import type { Observations } from "../residuals/index.ts";
import type { Intake } from "../result/index.ts";
import { columnsOf } from "../tables/index.ts";
import type { CorrectionProposal } from "./define.ts";
import { type GearChoice, gearFor, ordinalGear } from "./drive-words.ts";

/** One region of speed and load to hold in the next drive. */
export interface DriveVisit {
  readonly fromRpm: number;
  readonly toRpm: number;
  readonly fromKpa: number;
  readonly toKpa: number;
  readonly load: string;
  readonly seconds: number;
  readonly gear?: number;
  readonly kmh?: number;
  /** Share of the doubt, weighted by use, that this visit is expected to take away; visits before it are counted first. */
  readonly gainShare: number;
  /** "2,000–2,400 rpm, light throttle, uphill in third, 40 s". */
  readonly words: string;
}

export interface DriveGuide {
  /** The most useful first. */
  readonly visits: readonly DriveVisit[];
  /** Doubt about VE where the vehicle runs, weighted by use [%]: now, and expected after these visits. */
  readonly doubtPercent: number;
  readonly expectedDoubtPercent: number;
  /** What else to record, in words: cold starts for temperatures not seen. */
  readonly also: readonly string[];
  readonly cautions: readonly string[];
}

const LOADS = [
  { below: 0.36, words: "throttle almost shut", road: "on the level or slightly downhill" },
  { below: 0.52, words: "light throttle", road: "on the level" },
  { below: 0.7, words: "half load", road: "on a gentle climb" },
  { below: 0.88, words: "heavy throttle", road: "uphill" },
  { below: Number.POSITIVE_INFINITY, words: "full load", road: "uphill or on a dynamometer" },
] as const;
const BAND_RPM = 400;
/** A steady second in a region is worth about this many independent samples, each good for so much (ln). Common practice, no published source. */
const INDEPENDENT_PER_S = 0.25;
const SAMPLE_SD = 0.02;
const SECONDS = [10, 20, 30, 40, 60] as const;
/** A visit is long enough when a longer one would add little: this share of the gain of the longest. */
const ENOUGH_SHARE = 0.85;
/** How far a visit tells of its neighbours: as smooth as engines are. */
const REACH_LN_RPM = 0.16;
const REACH_LOAD = 0.1;
/** A drive is a sample of use: places near those driven will be used as well, by this share of it. */
const NEAR_USE = 0.3;
const NEAR_TIMES_REACH = 2.5;
/** An error at full load costs more than one elsewhere. Common practice, no published source. */
const FULL_LOAD_WORTH = 2;
/** Above this speed a shut throttle is overrun: fuel is cut, and nothing can be measured [rpm]. */
const OVERRUN_RPM = 1500;
/** Below this speed an engine is not to be loaded [rpm]. Common practice, no published source. */
const LUGGING_RPM = 1200;
/** Gains below this share are not worth fuel. */
const LEAST_GAIN = 0.01;

const CAUTIONS = [
  "Drive with a second person at the laptop, on a closed road or where traffic and law allow; the road comes first.",
  "Full load only when mixture and knock are known to be safe, briefly, with the engine warm: lift off when lambda reads lean or knock is heard.",
];

/**
 * Which regions to drive next: ordered by the doubt that a visit takes away, weighted by how much the vehicle runs there. Undefined without a
 * VE proposal. Greedy: each visit counts what the visits before it already tell.
 *
 * @param input.count  most visits in the list
 */
export function driveGuide(input: {
  readonly proposals: readonly CorrectionProposal[];
  readonly observations: readonly Observations[];
  readonly intake: Intake;
  readonly count?: number;
}): DriveGuide | undefined {
  const ve = input.proposals.find(({ role }) => role === "air.ve");
  if (ve?.before.x === undefined || ve.before.y === undefined) return undefined;
  const cells = cellsOf(ve, input.observations);
  const whole = doubt(cells);
  const regions = regionsOf(cells);
  const visits: DriveVisit[] = [];
  let now = cells;
  while (visits.length < (input.count ?? 6)) {
    const options = regions.flatMap((region) => optionsOf(region, now, visits));
    const best = options.reduce<Option | undefined>((a, b) => (a === undefined || b.perVisit > a.perVisit ? b : a), undefined);
    if (best === undefined || best.gain / whole < LEAST_GAIN) break;
    visits.push(visitOf(best, input.intake, best.gain / whole));
    now = after(now, best.region, best.seconds);
  }
  return {
    visits,
    doubtPercent: 100 * Math.sqrt(whole),
    expectedDoubtPercent: 100 * Math.sqrt(doubt(now)),
    also: coldStarts(input.proposals),
    cautions: CAUTIONS,
  };
}

interface Cell {
  readonly rpm: number;
  readonly kpa: number;
  readonly load: number;
  readonly use: number;
  readonly variance: number;
}

interface Region {
  readonly fromRpm: number;
  readonly toRpm: number;
  readonly loadIndex: number;
  readonly kpa: readonly [number, number];
  /** Middle of its cells. */
  readonly rpm: number;
  readonly load: number;
}

interface Option {
  readonly region: Region;
  readonly seconds: number;
  readonly gain: number;
  /** Gain with the time weighed in: getting there takes time as well. */
  readonly perVisit: number;
}

function cellsOf(ve: CorrectionProposal, observations: readonly Observations[]): readonly Cell[] {
  const xs = ve.before.x!.values;
  const ys = ve.before.y!.values;
  const columns = columnsOf(ve.before);
  const baro = meanOf(observations.flatMap((o) => [meanOf(Array.from(o.baroKpa))])) || 100;
  const seen = observations
    .flatMap((o) => {
      // One point a second is plenty to tell where the vehicle runs.
      const step = Math.max(1, Math.round(1 / o.dtS));
      return Array.from({ length: Math.floor(o.n / step) }, (_, k) => ({ rpm: o.rpm[k * step]!, load: o.mapKpa[k * step]! / baro }));
    })
    .filter(({ rpm, load }) => rpm > 400 && load > 0);
  const highestRpm = seen.reduce((most, { rpm }) => Math.max(most, rpm), 0);
  const lowestRpm = seen.reduce((least, { rpm }) => Math.min(least, rpm), Number.POSITIVE_INFINITY);
  const highestLoad = Math.max(
    1,
    seen.reduce((most, { load }) => Math.max(most, load), 0),
  );
  const lowestLoad = seen.reduce((least, { load }) => Math.min(least, load), 1);
  const cells = Array.from(ve.before.cells, (_, k) => {
    const [rpm, kpa] = [xs[k % columns]!, ys[Math.floor(k / columns)]!];
    const load = kpa / baro;
    const isReachable = rpm >= 0.9 * lowestRpm && rpm <= 1.15 * highestRpm && load >= lowestLoad - 0.03 && load <= highestLoad + 0.03;
    const isLugging = load >= LOADS[2].below && rpm < LUGGING_RPM;
    const isOverrun = load < LOADS[0].below && rpm > OVERRUN_RPM;
    const dwell = seen.reduce(
      (sum, at) => sum + nearness(at, { rpm, load }) + (NEAR_USE * nearness(at, { rpm, load }, NEAR_TIMES_REACH)) / NEAR_TIMES_REACH ** 2,
      0,
    );
    return {
      rpm,
      kpa,
      load,
      use: dwell * (load >= LOADS[3].below ? FULL_LOAD_WORTH : 1),
      isReachable: isReachable && !isOverrun && !isLugging,
      variance: ve.sd[k]! ** 2,
    };
  });
  return cells.filter(({ isReachable }) => isReachable);
}

function nearness(a: { rpm: number; load: number }, b: { rpm: number; load: number }, times = 1): number {
  const apart = (Math.log(a.rpm / b.rpm) / (times * REACH_LN_RPM)) ** 2 + ((a.load - b.load) / (times * REACH_LOAD)) ** 2;
  return apart > 18 ? 0 : Math.exp(-apart / 2);
}

/** Variance of VE where the vehicle runs, weighted by use. */
function doubt(cells: readonly Cell[]): number {
  const use = cells.reduce((sum, cell) => sum + cell.use, 0);
  return use === 0 ? 0 : cells.reduce((sum, cell) => sum + cell.use * cell.variance, 0) / use;
}

function regionsOf(cells: readonly Cell[]): readonly Region[] {
  const groups = new Map<string, Cell[]>();
  for (const cell of cells) {
    const band = Math.floor(cell.rpm / BAND_RPM + 0.5);
    const loadIndex = LOADS.findIndex(({ below }) => cell.load < below);
    const key = `${band} ${loadIndex}`;
    groups.set(key, [...(groups.get(key) ?? []), cell]);
  }
  return [...groups].map(([key, members]) => {
    const [band, loadIndex] = key.split(" ").map(Number) as [number, number];
    const kpas = members.map(({ kpa }) => kpa);
    return {
      fromRpm: Math.max(400, (band - 0.5) * BAND_RPM),
      toRpm: (band + 0.5) * BAND_RPM,
      loadIndex,
      kpa: [Math.min(...kpas), Math.max(...kpas)] as const,
      rpm: meanOf(members.map(({ rpm }) => rpm)),
      load: meanOf(members.map(({ load }) => load)),
    };
  });
}

function optionsOf(region: Region, cells: readonly Cell[], visits: readonly DriveVisit[]): readonly Option[] {
  if (visits.some((visit) => visit.fromRpm === region.fromRpm && visit.load === LOADS[region.loadIndex]!.words)) return [];
  const before = doubt(cells);
  const gains = SECONDS.map((seconds) => before - doubt(after(cells, region, seconds)));
  const enough = gains.findIndex((gain) => gain >= ENOUGH_SHARE * gains.at(-1)!);
  const [seconds, gain] = [SECONDS[enough]!, gains[enough]!];
  return [{ region, seconds, gain, perVisit: gain / (30 + seconds) }];
}

/** Cells after so many steady seconds in a region: near ones are told most. */
function after(cells: readonly Cell[], region: Region, seconds: number): readonly Cell[] {
  const precision = (seconds * INDEPENDENT_PER_S) / SAMPLE_SD ** 2;
  return cells.map((cell) => {
    const near = nearness(region, cell);
    // What is shared with the visited place is learned, the rest of the cell's doubt stays.
    const shared = near * near * cell.variance;
    return { ...cell, variance: cell.variance - shared + 1 / (1 / Math.max(shared, 1e-12) + precision) };
  });
}

function visitOf({ region, seconds }: Option, intake: Intake, gainShare: number): DriveVisit {
  const { words: load, road } = LOADS[region.loadIndex]!;
  const choice: GearChoice | undefined = gearFor(intake, (region.fromRpm + region.toRpm) / 2, region.loadIndex >= 3);
  const rpm = (value: number): string => String(Math.round(value)).replace(/\B(?=(\d{3})+$)/g, ",");
  const where = choice === undefined ? road : `${road} in ${ordinalGear(choice.gear)}`;
  const isIdle = region.loadIndex <= 1 && region.toRpm <= 1000;
  return {
    fromRpm: region.fromRpm,
    toRpm: region.toRpm,
    fromKpa: region.kpa[0],
    toKpa: region.kpa[1],
    load,
    seconds,
    ...(choice === undefined || isIdle ? {} : { gear: choice.gear, kmh: choice.kmh }),
    gainShare,
    words: `${rpm(region.fromRpm)}–${rpm(region.toRpm)} rpm, ${load}, ${isIdle ? "idling, in gear and out of it" : where}, ${seconds} s`,
  };
}

/** Coolant temperatures for which the idle has not been seen. */
function coldStarts(proposals: readonly CorrectionProposal[]): readonly string[] {
  const idle = proposals.find(({ role }) => role === "idle.base-airflow");
  if (idle?.before.x === undefined) return [];
  const unseen = Array.from(idle.before.x.values).filter((ectC, k) => idle.coverage[k]! < 1 && ectC >= 0 && ectC <= 80);
  if (unseen.length === 0) return [];
  return [`a cold start, idling until warm: idle has not been seen at ${unseen.map((c) => `${c.toFixed(0)}`).join(", ")} °C of coolant`];
}

function meanOf(values: readonly number[]): number {
  const finite = values.filter((v) => Number.isFinite(v));
  return finite.length === 0 ? 0 : finite.reduce((a, b) => a + b, 0) / finite.length;
}

/** The guide as a sheet to take into the car: CSV, one line a visit, cautions at the foot. */
export function driveGuideSheet(guide: DriveGuide): string {
  const rows = guide.visits.map((visit, k) =>
    [
      k + 1,
      visit.fromRpm,
      visit.toRpm,
      visit.fromKpa,
      visit.toKpa,
      visit.seconds,
      visit.gear ?? "",
      visit.kmh?.toFixed(0) ?? "",
      (100 * visit.gainShare).toFixed(0),
      `"${visit.words}"`,
    ].join(","),
  );
  return [
    "order,from rpm,to rpm,from kPa,to kPa,seconds,gear,about km/h,doubt removed %,in words",
    ...rows,
    ...[...guide.also, ...guide.cautions].map((text) => `,,,,,,,,,"${text}"`),
    "",
  ].join("\n");
}
