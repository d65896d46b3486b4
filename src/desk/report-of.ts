import { createHash } from "node:crypto";
import type { JobOutcome } from "../core/job/index.ts";
import type { PullAnalysis } from "../core/pulls/index.ts";
import { type CorrectionDetail, type NextTest, type ReportModel, renderReport, type SweepDetail, storyOf, traceOf } from "../report/index.ts";
import { reportFonts } from "./fonts.ts";
import type { LoadedPacket } from "./loaded.ts";

/** The answer of a job as a report is made of it. */
export function reportModelOf(loaded: LoadedPacket, outcome: JobOutcome): ReportModel {
  const { packet } = loaded;
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
    stories: (outcome.diagnosis?.pictures ?? []).map(storyOf),
    sweeps: outcome.pulls.flatMap(sweepDetail),
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

function sweepDetail(pull: PullAnalysis): SweepDetail[] {
  if (pull.curve === undefined) return [];
  return [{ file: pull.file, rpm: pull.curve.rpm, powerKw: pull.curve.powerKw, torqueNm: pull.curve.torqueNm }];
}
