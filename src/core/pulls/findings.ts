import type { Finding, Severity } from "../result/index.ts";
import type { PullAnalysis } from "./analyse.ts";
import type { SweepEvent } from "./events/index.ts";

interface Seen {
  readonly file: string;
  readonly event: SweepEvent;
}

interface Rule {
  readonly summary: string;
  readonly do: string;
  /** Severity of all events of this check together. */
  severity(seen: readonly Seen[]): Severity;
}

/** Speeds within so much of each other count as the same place of a sweep [rpm]. */
const SAME_PLACE_RPM = 250;

const anyStop = (seen: readonly Seen[]): boolean => seen.some(({ event }) => event.isStop);
const inTwoSweeps = (seen: readonly Seen[]): boolean => new Set(seen.map(({ file }) => file)).size > 1;
const repeats = (seen: readonly Seen[]): boolean =>
  seen.some(({ event }, i) => seen.some((other, k) => k > i && Math.abs(other.event.rpm - event.rpm) < SAME_PLACE_RPM));

const RULES: Readonly<Record<string, Rule>> = {
  "pull.boost-short": {
    summary: "Boost stays short of its target",
    do: "Look for a leak on the pressure side, a waste gate that opens early, a restriction; do not raise the request to make up for it.",
    severity: () => "watch",
  },
  "pull.charge-heat": {
    summary: "Intake air heats through the sweep",
    do: "Let it cool between pulls, bring more fan air to the intake; compare sweeps at equal temperatures only.",
    severity: () => "watch",
  },
  "pull.injector-duty": {
    summary: "Injectors are open for nearly the whole cycle",
    do: "Lift. Larger injectors or less air first: beyond 90 % they may no longer close, and the mixture is out of control.",
    severity: (seen) => (anyStop(seen) ? "stop" : "watch"),
  },
  "pull.intake-restricts": {
    summary: "The engine sucks against a restriction at full throttle",
    do: "Measure pressure before and after filter and duct; check that the throttle opens fully.",
    severity: () => "watch",
  },
  "pull.knock": {
    summary: "Knock retard at full load",
    do: "No further pull before spark is taken out there by at least as much; check the fuel's quality and the intake temperature.",
    severity: (seen) => (anyStop(seen) || repeats(seen) ? "stop" : "watch"),
  },
  "pull.lean-at-load": {
    summary: "Lean at full load",
    do: "No further pull until the cause is known: fuel pressure at load, injectors, the air tables; check the lambda sensor against a second one.",
    severity: (seen) => (anyStop(seen) || inTwoSweeps(seen) ? "stop" : "watch"),
  },
  "pull.lockup-slip": {
    summary: "Converter clutch slips under full load",
    do: "Power read at the rollers is too low by the slip and the clutch overheats: see the lock-up duty, line pressure and the clutch itself.",
    severity: () => "fix",
  },
  "pull.pressure-collapse": {
    summary: "Manifold pressure collapses at full load",
    do: "Lift. Look for a hose that came off or is sucked flat, a throttle that closes, a failing charger.",
    severity: () => "stop",
  },
};

/** The checks that sweeps can set off, by id. */
export const PULL_CHECKS: readonly string[] = [...Object.keys(RULES), "pull.ratio-mismatch"].sort();

/** Knock that repeats has an id of its own: the action is the same, the certainty is not. */
function idOf(check: string, seen: readonly Seen[]): string {
  return check === "pull.knock" && repeats(seen) ? "pull.knock-repeats" : check;
}

/** Deviation of the recorded ratio from the intake sheet's that tyres and slip do not explain. @source RT-25 */
const RATIO_LIMIT = 0.03;

function ratioFinding(pulls: readonly PullAnalysis[]): readonly Finding[] {
  const off = pulls.filter((pull) => Math.abs((pull.samples?.driveline.ratioToListed ?? 1) - 1) > RATIO_LIMIT);
  if (off.length === 0) return [];
  return [
    {
      check: "pull.ratio-mismatch",
      severity: "watch",
      tables: [],
      summary: "Engine and roller speed do not fit the ratios of the intake sheet",
      because: off.map(({ file, samples }) => {
        const { gear, ratioToListed } = samples!.driveline;
        return `${file}: ${(100 * (ratioToListed! - 1)).toFixed(1)} % more engine turns a kilometre than gear ${gear} should give`;
      }),
      do: "Correct axle ratio, tyre or gear on the intake sheet; 1 to 3 % is what tyres do on rollers, more is a wrong entry or a slipping converter.",
    },
  ];
}

/** Findings of all sweeps together: what was seen, in which file, when and at which speed. Sorted by check. */
export function findingsOfPulls(pulls: readonly PullAnalysis[]): readonly Finding[] {
  const all: Seen[] = pulls.flatMap((pull) => pull.events.map((event) => ({ file: pull.file, event })));
  const found = Object.entries(RULES).flatMap(([check, rule]): Finding[] => {
    const seen = all.filter(({ event }) => event.check === check);
    if (seen.length === 0) return [];
    const severity = rule.severity(seen);
    return [
      {
        check: idOf(check, seen),
        severity,
        tables: [],
        summary: severity === "stop" ? `${rule.summary}: no further pull before the cause is known` : rule.summary,
        because: seen.map(({ file, event }) => `${file}: ${event.text}`),
        do: rule.do,
      },
    ];
  });
  return [...found, ...ratioFinding(pulls)].sort((a, b) => (a.check < b.check ? -1 : a.check > b.check ? 1 : 0));
}
