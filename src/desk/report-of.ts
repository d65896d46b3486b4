import { createHash } from "node:crypto";
import { lastAtMost } from "../base/index.ts";
import type { JobOutcome, Packet } from "../core/job/index.ts";
import type { PullAnalysis } from "../core/pulls/index.ts";
import { lookUpCurve } from "../core/tables/index.ts";
import {
  alongSpeed,
  type CorrectionDetail,
  coverageOf,
  type NextTest,
  type ReportModel,
  renderReport,
  residualStories,
  type SweepDetail,
  storyOf,
  traceOf,
} from "../report/index.ts";
import { reportFonts } from "./fonts.ts";
import type { LoadedPacket } from "./loaded.ts";

/** The answer of a job as a report is made of it. */
export function reportModelOf(loaded: LoadedPacket, outcome: JobOutcome): ReportModel {
  const { packet } = loaded;
  const ve = packet.asReceived?.byRole["air.ve"];
  return {
    result: outcome.result,
    intake: packet.intake,
    about: { tool: "Fettle" },
    files: loaded.originals.map(({ path, bytes }) => ({
      path,
      sha256: createHash("sha256").update(bytes).digest("hex"),
      bytes: bytes.length,
      direction: "read" as const,
    })),
    asReceived: packet.asReceived?.tables,
    reference: packet.reference?.tables,
    corrections: outcome.proposals.map(correctionDetail),
    traces: outcome.observations.map((seen) => traceOf(seen.recording, seen.moments)),
    stories: [...residualStories(outcome.observations), ...(outcome.diagnosis?.pictures ?? []).map(storyOf)],
    coverage: ve === undefined ? [] : [coverageOf(outcome.observations, ve)].filter((detail) => detail !== undefined),
    sweeps: outcome.pulls.flatMap((pull) => sweepDetail(pull, packet)),
    tests: (outcome.diagnosis?.nextTests ?? []).map(
      (ranked): NextTest => ({ title: ranked.test.title, how: ranked.test.how, minutes: ranked.test.minutes, cautions: ranked.test.cautions }),
    ),
  };
}

export function reportOf(loaded: LoadedPacket, outcome: JobOutcome): string {
  return renderReport(reportModelOf(loaded, outcome), { fonts: reportFonts() });
}

function correctionDetail(proposal: JobOutcome["proposals"][number]): CorrectionDetail {
  const deviationPercent = proposal.sd.map((sd, i) => 100 * (proposal.sdKind === "relative" ? sd : sd / Math.abs(proposal.after.cells[i]!)));
  return { role: proposal.role, before: proposal.before, after: proposal.after, deviationPercent, seen: proposal.coverage };
}

function sweepDetail(pull: PullAnalysis, packet: Packet): SweepDetail[] {
  const { curve, samples, span } = pull;
  if (curve === undefined) return [];
  const recording = packet.pulls.find((candidate) => candidate.file === pull.file);
  const signal = (id: "lambda" | "knockRetard"): Float64Array | undefined => {
    const values = recording?.channels[id]?.values;
    if (recording === undefined || values === undefined || samples === undefined || span === undefined) return undefined;
    // The samples may stand closer or wider than the rows of the file: each row is counted where the nearest sample was.
    const nearest = Float64Array.from(recording.timeS, (at) => Math.max(0, lastAtMost(samples.timeS, at)));
    return alongSpeed(curve.rpm, { rpm: nearest.map((i) => samples.rpm[i]!), values, counts: nearest.map((i) => span.counts[i]!) });
  };
  const ratio = packet.asReceived?.byRole["fuel.full-load-ratio"];
  return [
    {
      file: pull.file,
      rpm: curve.rpm,
      powerKw: curve.powerKw,
      torqueNm: curve.torqueNm,
      lambda: signal("lambda"),
      lambdaTarget: ratio === undefined ? undefined : curve.rpm.map((rpm) => 1 / lookUpCurve(ratio, rpm)),
      knockRetardDeg: signal("knockRetard"),
    },
  ];
}
