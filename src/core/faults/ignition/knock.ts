import type { Observations } from "../../residuals/index.ts";
import { type DirectEvidence, defineFault } from "../define.ts";
import type { Facts } from "../facts.ts";
import { boundedLogRatio, evidenceOf, normalDensity, silent, spreadDensity } from "../likelihood.ts";

export default defineFault({
  id: "ignition.knock",
  title: "Engine knocks under load",
  what: "Charge burns by itself ahead of the flame: too much spark for the fuel, hot intake air, deposits, too lean at load. The controller takes spark out.",
  moves:
    "Knock retard of several degrees that comes back at the same loads and speeds. Air and fuel residuals stay where they are unless the cause is a lean mixture.",
  neighbours: [
    { fault: "fuel.delivery-low", tell: "lean at the same moments: mend the fuel first" },
    { fault: "healthy", tell: "single blips of a degree or two on gear changes are noise" },
  ],
  cost: "Breaks pistons and gaskets. Spark added elsewhere is spent here. Repeated retard above 3 degrees at full load is a stop.",
  prior: 0.8,
  needs: ["knockRetard", "rpm"],
  poisons: ["spark.low-octane"],
  record: "The same hill or sweep three times with knock retard logged: knock repeats, noise does not; lift when retard passes 3 degrees",
  tests: ["knock-confirmation"],
  sources: ["RT-17", "RT-18", "CA-16", "PH-19"],
  direct: knockEvidence,
  priorReasons: (facts) => (facts.edited.has("spark.main") ? [{ factor: 1.3, because: "the main spark table differs from the factory's" }] : []),
});

function knockEvidence(facts: Facts): DirectEvidence {
  const all = facts.input.observations.map(loadedRetard);
  if (all.every((k) => k === undefined)) return silent("ignition.knock: knock retard is not logged");
  const seen = all.filter((k) => k !== undefined);
  const seconds = seen.reduce((sum, k) => sum + k.seconds, 0);
  if (seconds < 3) return silent("ignition.knock: hardly any load was recorded; record two full-load sweeps");
  const events = seen.flatMap((k) => k.events);
  const ordered = [...events].sort((a, b) => b.degrees - a.degrees);
  const worst = ordered[0];
  // Knock repeats; a single blip may be a noisy gear change. So the mean of the three largest events counts.
  const high = [0, 1, 2].reduce((sum, k) => sum + (ordered[k]?.degrees ?? 0), 0) / 3;
  const quiet = 0.96 * 2 * normalDensity(high, 0, facts.boosted ? 0.9 : 0.5) + 0.04 * spreadDensity(high, 0, 2.5, 0.3);
  const knocking = spreadDensity(high, 0.9, 9, 0.3);
  const logRatio = Math.max(-4, boundedLogRatio(knocking, quiet, 8));
  const span = worst === undefined ? {} : { recording: worst.recording, fromS: worst.fromS, toS: worst.toS };
  return evidenceOf(
    logRatio,
    {
      text:
        worst === undefined
          ? `No knock retard above 1 degree in ${seconds.toFixed(0)} s under load`
          : `Knock retard of ${worst.degrees.toFixed(1)} degrees at ${worst.rpm.toFixed(0)} rpm, ${events.length} ${events.length === 1 ? "time" : "times"} above 1 degree in ${seconds.toFixed(0)} s under load`,
      ...span,
    },
    logRatio > 0 ? { sizes: [{ name: "retard under load", unit: "deg", value: high, low: Math.max(0, high - 1), high: high + 1 }] } : {},
  );
}

interface Loaded {
  readonly seconds: number;
  readonly events: readonly { recording: string; fromS: number; toS: number; degrees: number; rpm: number }[];
}

function loadedRetard(o: Observations): Loaded | undefined {
  if (o.recording.channels.knockRetard === undefined) return undefined;
  let seconds = 0;
  const events: { recording: string; fromS: number; toS: number; degrees: number; rpm: number }[] = [];
  let lastS = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < o.n; i++) {
    const loaded = o.mapKpa[i]! > 0.6 * o.baroKpa[i]! || (Number.isNaN(o.mapKpa[i]!) && o.throttlePercent[i]! > 35);
    const retard = o.knockRetardDeg[i]!;
    if (!loaded || !(o.rpm[i]! > 900) || Number.isNaN(retard)) continue;
    seconds += o.dtS;
    if (retard < 1) continue;
    const t = o.timeS[i]!;
    const current = events[events.length - 1];
    if (current !== undefined && t - lastS < 2) {
      events[events.length - 1] = { ...current, toS: t, ...(retard > current.degrees ? { degrees: retard, rpm: o.rpm[i]! } : {}) };
    } else events.push({ recording: o.recording.file, fromS: t, toS: t, degrees: retard, rpm: o.rpm[i]! });
    lastS = t;
  }
  return { seconds, events };
}
