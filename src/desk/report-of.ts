import { createHash } from "node:crypto";
import { driveGuide } from "../core/corrections/index.ts";
import { fullLoadLambdaOf, type JobOutcome, type Packet } from "../core/job/index.ts";
import { alignmentSentence } from "../core/residuals/index.ts";
import {
  type AlignmentDetail,
  type CorrectionDetail,
  type CoverageDetail,
  coverageOf,
  type FileRecord,
  type NextTest,
  type ReportModel,
  renderReport,
  residualStories,
  storyOf,
  traceOf,
} from "../report/index.ts";
import { reportFonts } from "./fonts.ts";
import type { LoadedPacket, OutFile } from "./loaded.ts";
import { oneSeries } from "./pulls-model.ts";
import { sweepDetail } from "./sweep-detail.ts";

/** The answer of a job as a report is made of it. */
export function reportModelOf(loaded: LoadedPacket, outcome: JobOutcome): ReportModel {
  const { packet } = loaded;
  const ve = packet.asReceived?.byRole["air.ve"];
  const sweeps = outcome.pulls.flatMap((pull) =>
    sweepDetail(
      pull,
      packet.pulls.find(({ file }) => file === pull.file),
      fullLoadLambdaOf(packet.asReceived),
    ),
  );
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
    alignments: alignmentDetails(outcome),
    coverage: ve === undefined ? [] : [coverageOf(outcome.observations, ve, nextPlaces(packet, outcome))].filter((detail) => detail !== undefined),
    sweeps,
    ...oneSeries(outcome, sweeps),
    tests: (outcome.diagnosis?.nextTests ?? []).map(
      (ranked): NextTest => ({ title: ranked.test.title, how: ranked.test.how, minutes: ranked.test.minutes, cautions: ranked.test.cautions }),
    ),
  };
}

/** Whether each recording's exhaust measurement was moved right, as pictures need it. */
export function alignmentDetails(outcome: Pick<JobOutcome, "alignments">): AlignmentDetail[] {
  return outcome.alignments.map((evidence) => ({ ...evidence, caption: alignmentSentence(evidence) }));
}

/** @param written  files that go with the report, to stand in it by their hashes */
export function reportOf(loaded: LoadedPacket, outcome: JobOutcome, written: readonly OutFile[] = []): string {
  const model = reportModelOf(loaded, outcome);
  return renderReport({ ...model, files: [...(model.files ?? []), ...written.map(writtenFile)] }, { fonts: reportFonts() });
}

function writtenFile({ path, content }: OutFile): FileRecord {
  const bytes = Buffer.from(content);
  return { path, sha256: createHash("sha256").update(bytes).digest("hex"), bytes: bytes.length, direction: "written" };
}

function correctionDetail(proposal: JobOutcome["proposals"][number]): CorrectionDetail {
  const deviationPercent = proposal.sd.map((sd, i) => 100 * (proposal.sdKind === "relative" ? sd : sd / Math.abs(proposal.after.cells[i]!)));
  return { role: proposal.role, before: proposal.before, after: proposal.after, deviationPercent, seen: proposal.coverage };
}

/** Middles of the places that the drive guide would visit, best first: as many as a picture can name. */
function nextPlaces({ intake }: Packet, outcome: JobOutcome): NonNullable<CoverageDetail["next"]> {
  const guide = driveGuide({ proposals: outcome.proposals, observations: outcome.observations, intake });
  return (guide?.visits ?? []).slice(0, MOST_PLACES).map((visit) => ({ x: (visit.fromRpm + visit.toRpm) / 2, y: (visit.fromKpa + visit.toKpa) / 2 }));
}

const MOST_PLACES = 6;
