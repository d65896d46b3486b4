import { onClock } from "../../recordings/index.ts";
import type { Observations } from "../../residuals/index.ts";
import type { Evidence } from "../../result/index.ts";
import { type DirectEvidence, defineFault } from "../define.ts";
import type { Facts } from "../facts.ts";
import { boundedLogRatio, normalDensity, silent, spreadDensity } from "../likelihood.ts";

interface Start {
  readonly recording: string;
  readonly fromS: number;
  readonly toS: number;
  /** Until cam and crank were synchronised, NaN without the signal [s]. */
  readonly syncS: number;
  /** Until the engine ran, or until the starter was let go [s]. */
  readonly crankS: number;
  readonly ran: boolean;
  /** Lowest supply voltage while cranking. */
  readonly batteryV: number;
}

/** A healthy start: synchronised within about two revolutions, running within a second or so. Common practice, no published source. */
const SYNC_S = 0.45;
const CRANK_S = 0.75;
/** Share of starts that are ordinary although the fault is there: it comes and goes. */
const ORDINARY_SHARE = 0.35;

export default defineFault({
  id: "start.cam-signal-dropout",
  title: "Camshaft signal drops out",
  what: "The camshaft sensor, its gap, wiring or supply loses pulses, mostly while cranking. Without them the controller does not know which stroke it is in and waits.",
  moves:
    "Prolonged cranking now and then, at ordinary cranking speed and voltage, while crankshaft revolutions count on and the cam is not synchronised; an easy start once the ignition has been off and on. Synchronisation may also be lost while running. Air and fuel residuals stay where they are.",
  neighbours: [
    { fault: "electrical.low-voltage", tell: "cranks slowly and with low voltage" },
    { fault: "healthy", tell: "synchronises within about two revolutions at every start" },
  ],
  cost: "Strands the vehicle one day, and a backfire at the late start can burst the intake. No table cures it.",
  prior: 0.7,
  needs: ["rpm", "camSync"],
  poisons: [],
  record: "Five starts, cold and hot, recorded from before the key is turned, ten rows a second",
  tests: ["cam-crank-scope"],
  sources: ["cam-signal-crank", "common-practice"],
  direct: camEvidence,
});

/** Rows further apart than this miss a start [s]. */
const SLOWEST_SAMPLING_S = 0.5;

function camEvidence(facts: Facts): DirectEvidence {
  const quick = facts.input.observations.filter((o) => rowS(o) <= SLOWEST_SAMPLING_S);
  if (quick.length === 0 && facts.input.observations.length > 0)
    return silent("start.cam-signal-dropout: a start lasts about a second, and the recordings have fewer than two rows a second; record starts faster");
  const starts = quick.flatMap(startsOf);
  const losses = quick.flatMap(lossesOf);
  const hasSync = quick.some((o) => o.recording.channels.camSync !== undefined);
  if (starts.length === 0 && !hasSync)
    return silent("start.cam-signal-dropout: no start was recorded and cam synchronisation is not logged; record three starts");
  let logRatio = 0;
  const forIt: Evidence[] = [];
  const against: Evidence[] = [];
  for (const start of starts) {
    const seenS = Number.isNaN(start.syncS) ? start.crankS : start.syncS;
    const expectedS = Number.isNaN(start.syncS) ? CRANK_S : SYNC_S;
    // A weak battery or deep cold stretches cranking by itself.
    const widen = Number.isNaN(start.syncS) ? (start.batteryV < 9.3 ? 0.9 : 0.5) : 0.4;
    const x = Math.log(Math.max(seenS, 0.1) / expectedS);
    const ordinary = 0.99 * normalDensity(x, 0, widen) + 0.01 * spreadDensity(x, 0, 2.5, 0.3);
    const long = spreadDensity(x, Math.log(2.2), Math.log(16), 0.25);
    const ratio = boundedLogRatio(ORDINARY_SHARE * ordinary + (1 - ORDINARY_SHARE) * long, ordinary, 4.5);
    logRatio += ratio;
    const what = Number.isNaN(start.syncS)
      ? `engine cranked ${start.crankS.toFixed(1)} s`
      : `cam synchronised after ${start.syncS.toFixed(1)} s of cranking${start.ran ? `, running after ${start.crankS.toFixed(1)} s` : ", did not start"}`;
    const span = { recording: start.recording, fromS: start.fromS, toS: start.toS };
    (ratio > 0 ? forIt : against).push({ text: `${capital(what)} (usual: about ${expectedS} s)`, ...span });
  }
  if (losses.length > 0) {
    logRatio += 4;
    forIt.push({ text: `Cam synchronisation was lost ${losses.length === 1 ? "once" : `${losses.length} times`} while the engine ran`, ...losses[0]! });
  } else if (hasSync) {
    logRatio += Math.log(0.7);
    against.push({ text: "Cam synchronisation was never lost while the engine ran" });
  }
  const couldNot = hasSync ? [] : ["start.cam-signal-dropout: cam synchronisation is not logged; judged by cranking time alone"];
  return { logRatio: Math.max(-5, Math.min(10, logRatio)), for: forIt, against, couldNot };
}

/** Time between two rows of the recording [s]. */
function rowS(o: Observations): number {
  const { timeS } = o.recording;
  return timeS.length < 2 ? Number.POSITIVE_INFINITY : (timeS[timeS.length - 1]! - timeS[0]!) / (timeS.length - 1);
}

function startsOf(o: Observations): Start[] {
  const camSync = onClock(o.recording, "camSync", { timeS: o.timeS, dtS: o.dtS });
  const starts: Start[] = [];
  let from = -1;
  let atRest = o.n > 0 && o.rpm[0]! <= 30;
  for (let i = 0; i < o.n; i++) {
    const rpm = o.rpm[i]!;
    if (from < 0) {
      if (rpm > 30 && rpm < 450 && atRest) from = i;
      if (!Number.isNaN(rpm)) atRest = rpm <= 30;
      continue;
    }
    const runs = rpm >= 450;
    if (!runs && rpm > 30) continue;
    starts.push(startBetween(o, camSync, from, i, runs));
    from = -1;
    atRest = !runs;
  }
  return starts.filter((start) => start.ran || start.crankS > 0.6);
}

function startBetween(o: Observations, camSync: Float64Array, from: number, to: number, ran: boolean): Start {
  let synced = -1;
  let known = false;
  let batteryV = Number.POSITIVE_INFINITY;
  // The flag may be sampled slowly: look on for a second after the engine runs.
  const last = Math.min(o.n - 1, to + Math.round(1 / o.dtS));
  for (let i = from; i <= last; i++) {
    if (!Number.isNaN(camSync[i]!)) known = true;
    if (synced < 0 && camSync[i]! >= 0.5) synced = i;
    if (i <= to && o.batteryV[i]! < batteryV) batteryV = o.batteryV[i]!;
  }
  const crankS = (to - from) * o.dtS;
  return {
    recording: o.recording.file,
    fromS: o.timeS[from]!,
    toS: o.timeS[to]!,
    syncS: !known ? Number.NaN : synced < 0 ? (last - from) * o.dtS : Math.max(0, (synced - from) * o.dtS),
    crankS,
    ran,
    batteryV,
  };
}

/** Spells of at least 0.15 s without synchronisation in an engine that has been running for three seconds. */
function lossesOf(o: Observations): { recording: string; fromS: number; toS: number }[] {
  const camSync = onClock(o.recording, "camSync", { timeS: o.timeS, dtS: o.dtS });
  const losses: { recording: string; fromS: number; toS: number }[] = [];
  let runningS = 0;
  let from = -1;
  for (let i = 0; i < o.n; i++) {
    runningS = o.rpm[i]! > 500 ? runningS + o.dtS : 0;
    const lost = runningS > 3 && camSync[i]! < 0.5;
    if (lost && from < 0) from = i;
    if (!lost && from >= 0) {
      if ((i - from) * o.dtS >= 0.15 && runningS > 3) losses.push({ recording: o.recording.file, fromS: o.timeS[from]! - 1, toS: o.timeS[i]! + 1 });
      from = -1;
    }
  }
  return losses;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
