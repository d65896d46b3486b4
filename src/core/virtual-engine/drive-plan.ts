import type { Random } from "../../base/index.ts";

/** One stretch of a recording. */
export type Segment =
  | { readonly kind: "key-on"; readonly durationS: number }
  | { readonly kind: "crank" }
  | { readonly kind: "park"; readonly durationS: number; readonly holdRpm?: number; readonly load?: number }
  /** Follow a speed; `accelerationMs2` bounds how it is reached; hills as a sine of grade. */
  | {
      readonly kind: "drive";
      readonly durationS: number;
      readonly kmh: number;
      readonly accelerationMs2: number;
      readonly gradePercent: number;
      readonly gradePeriodS: number;
      readonly load?: number;
    }
  /** Pedal to the floor until the speed or the time is reached. */
  | { readonly kind: "full-load"; readonly durationS: number; readonly untilKmh: number; readonly pedalPercent: number }
  /** Foot off the pedal down to a speed. */
  | { readonly kind: "coast"; readonly durationS: number; readonly untilKmh: number };

export interface DrivePlan {
  readonly name: string;
  readonly segments: readonly Segment[];
  /** Temperatures at key-on; left out: cold, at ambient. */
  readonly warmStart?: boolean;
}

/** An ordinary drive: cold start, warm-up, town with stops, open road with hills, full-load pulls, a last idle. About 12–15 min. */
export function drawRoadPlan(random: Random, options: { readonly minutes?: number; readonly fastestKmh?: number } = {}): DrivePlan {
  const totalS = (options.minutes ?? random.between(11.5, 15.5)) * 60;
  const fastest = options.fastestKmh ?? random.between(95, 120);
  const segments: Segment[] = [
    { kind: "key-on", durationS: random.between(0.9, 2.2) },
    { kind: "crank" },
    { kind: "park", durationS: random.between(12, 40), load: 0 },
  ];
  let used = 35;
  let townLeft = random.whole(3, 6);
  let pulls = random.whole(2, 4);
  while (used < totalS - 40) {
    const draw = random.uniform();
    if (townLeft > 0 && draw < 0.45) {
      used += addTown(random, segments);
      townLeft--;
    } else if (pulls > 0 && used > 260 && draw < 0.7) {
      used += addPull(random, segments, fastest);
      pulls--;
    } else used += addCruise(random, segments, fastest);
  }
  while (pulls-- > 0) addPull(random, segments, fastest);
  segments.push({ kind: "drive", durationS: random.between(15, 35), kmh: 0, accelerationMs2: 1.6, gradePercent: 0, gradePeriodS: 60 });
  return { name: "road", segments };
}

function addTown(random: Random, segments: Segment[]): number {
  const kmh = random.between(28, 62);
  const drive = random.between(18, 45);
  const stop = random.between(8, 28);
  segments.push({
    kind: "drive",
    durationS: drive,
    kmh,
    accelerationMs2: random.between(0.9, 2.1),
    gradePercent: random.between(-2, 2),
    gradePeriodS: random.between(30, 90),
    load: random.chance(0.3) ? 1 : 0,
  });
  if (random.chance(0.5)) segments.push({ kind: "coast", durationS: random.between(4, 14), untilKmh: random.between(8, 25) });
  segments.push({
    kind: "drive",
    durationS: stop + 5,
    kmh: 0,
    accelerationMs2: random.between(1.1, 1.9),
    gradePercent: 0,
    gradePeriodS: 60,
    load: random.chance(0.3) ? 1 : 0,
  });
  return drive + stop + 10;
}

function addCruise(random: Random, segments: Segment[], fastest: number): number {
  const seconds = random.between(35, 110);
  segments.push({
    kind: "drive",
    durationS: seconds,
    kmh: random.between(55, fastest),
    accelerationMs2: random.between(0.5, 1.4),
    gradePercent: random.between(0.5, 5.5),
    gradePeriodS: random.between(20, 90),
    load: random.chance(0.2) ? 1 : 0,
  });
  if (random.chance(0.45)) segments.push({ kind: "coast", durationS: random.between(6, 25), untilKmh: random.between(35, 70) });
  return seconds + 8;
}

function addPull(random: Random, segments: Segment[], fastest: number): number {
  segments.push({ kind: "drive", durationS: random.between(6, 12), kmh: random.between(30, 65), accelerationMs2: 1.5, gradePercent: 0, gradePeriodS: 60 });
  segments.push({
    kind: "full-load",
    durationS: random.between(9, 17),
    untilKmh: fastest * random.between(1, 1.25),
    pedalPercent: random.chance(0.8) ? 100 : random.between(60, 90),
  });
  segments.push({ kind: "coast", durationS: random.between(10, 28), untilKmh: random.between(45, 85) });
  return 42;
}

/** A warm restart and idle of two to three minutes, with an accessory load and sometimes a held speed. */
export function drawIdlePlan(random: Random): DrivePlan {
  const segments: Segment[] = [
    { kind: "key-on", durationS: random.between(0.9, 2.2) },
    { kind: "crank" },
    { kind: "park", durationS: random.between(50, 80), load: 0 },
    { kind: "park", durationS: random.between(20, 45), load: 1 },
  ];
  if (random.chance(0.4)) segments.push({ kind: "park", durationS: random.between(8, 20), holdRpm: random.between(1500, 2600), load: 0 });
  segments.push({ kind: "park", durationS: random.between(20, 50), load: 0 });
  return { name: "idle", segments, warmStart: true };
}
