import { runChecks } from "../checks/index.ts";
import { type CorrectionProposal, type InjectorSheet, proposeCorrections } from "../corrections/index.ts";
import { explainEdits } from "../edits/index.ts";
import { type Diagnosis, diagnose } from "../faults/index.ts";
import { equivalenceRatio } from "../physics/index.ts";
import { analysePulls, findingsOfPulls, type PullAnalysis } from "../pulls/index.ts";
import { durationS, type Recording } from "../recordings/index.ts";
import { type AlignmentEvidence, alignmentEvidence, type Observations, observe } from "../residuals/index.ts";
import type { AlignmentSummary, Correction, Edit, Finding, RecordingSummary, Result, Severity, Suspect } from "../result/index.ts";
import { lookUpCurve } from "../tables/index.ts";
import { withLeanExplained } from "./lean-explained.ts";
import type { Packet } from "./packet.ts";

/** The answer, and everything behind it that a report or a screen draws. */
export interface JobOutcome {
  readonly result: Result;
  readonly observations: readonly Observations[];
  /** Of each recording with a wide-range sensor: what shows that its reading was moved right. */
  readonly alignments: readonly AlignmentEvidence[];
  readonly diagnosis: Diagnosis | undefined;
  readonly proposals: readonly CorrectionProposal[];
  readonly pulls: readonly PullAnalysis[];
}

export interface JobOptions {
  /** Told what is under way and how much is done, 0–1. */
  readonly onProgress?: (text: string, share: number) => void;
  /** Data sheets of injectors that the shop keeps. */
  readonly injectorSheets?: readonly InjectorSheet[];
}

/**
 * The whole main job: from tables and recordings to edits, findings, suspects, corrections and power. Pure: same packet, same answer.
 * What an input was missing for is said in `couldNot`; nothing is left out silently.
 */
export function runJob(packet: Packet, options: JobOptions = {}): JobOutcome {
  const say = options.onProgress ?? (() => {});
  const couldNot: string[] = [];
  const { intake, asReceived, reference } = packet;

  say("comparing the calibration with its reference", 0);
  const edits = editsOf(packet, couldNot);

  say("reading the recordings against the tables", 0.05);
  const observations = packet.recordings.map((recording, i) => {
    say(`reading ${recording.file} against the tables`, 0.05 + (0.35 * i) / packet.recordings.length);
    return observe(recording, asReceived, intake);
  });
  couldNot.push(...observations.flatMap((seen) => seen.couldNot));

  say("checking whether the calibration holds together", 0.4);
  const checked = asReceived === undefined ? undefined : runChecks({ calibration: asReceived, reference, edits, intake, observations });
  couldNot.push(...(checked?.couldNot ?? ["the calibration was not checked: the packet holds no calibration/as-received"]));

  say("weighing what could be wrong", 0.45);
  const diagnosis = observations.length === 0 ? undefined : diagnose({ observations, calibration: asReceived, reference, intake });
  couldNot.push(...(diagnosis?.couldNot ?? ["nothing was diagnosed: the packet holds no recordings"]));

  say("fitting the tables", 0.6);
  const corrected =
    asReceived === undefined || diagnosis === undefined
      ? undefined
      : proposeCorrections({
          calibration: asReceived,
          reference,
          intake,
          observations,
          suspects: diagnosis.suspects,
          findings: checked?.findings ?? [],
          repairFirst: diagnosis.repairFirst,
          injectorSheets: options.injectorSheets ?? [],
        });
  couldNot.push(...(corrected?.couldNot ?? ["no table was corrected: that takes a calibration and a recording"]));

  say("reckoning the sweeps", 0.95);
  const fullLoadLambda = fullLoadLambdaOf(asReceived);
  const pulls = analysePulls({ pulls: packet.pulls, recordings: packet.recordings, intake, fullLoadLambda });
  couldNot.push(...pulls.flatMap((pull) => pull.couldNot));

  const alignments = observations.map(alignmentEvidence).filter((evidence) => evidence !== undefined);
  const proposals = corrected?.proposals ?? [];
  return {
    result: {
      schema: "fettle.result/1",
      edits,
      findings: inOrder([
        ...(checked?.findings ?? []),
        ...withLeanExplained(findingsOfPulls(pulls), { pulls: packet.pulls, analyses: pulls, calibration: asReceived, intake, fullLoadLambda }, proposals),
      ]),
      suspects: diagnosis?.suspects ?? beforeAnyRecording(diagnose({ observations, calibration: asReceived, reference, intake }).suspects),
      corrections: proposals.map(correctionOf),
      pulls: pulls.flatMap((pull) => (pull.result === undefined ? [] : [pull.result])),
      recordings: packet.recordings.map((recording) => summaryOf(recording, alignments)),
      couldNot: [...new Set(couldNot)],
      remarks: packet.remarks,
    },
    observations,
    alignments,
    diagnosis,
    proposals,
    pulls,
  };
}

/** How common each fault is, and nothing more: what is known before anything was observed. */
function beforeAnyRecording(suspects: readonly Suspect[]): readonly Suspect[] {
  const nothing = { text: "There is no recording: nothing was observed. The figure is how common this is." };
  return suspects.map(({ fault, probability }) => ({ fault, probability, for: [], against: [nothing] }));
}

/** Lambda that the calibration asks for at full load, by engine speed. */
export function fullLoadLambdaOf(calibration: Packet["asReceived"]): ((rpm: number) => number) | undefined {
  const table = calibration?.byRole["fuel.full-load-ratio"];
  return table && ((rpm) => equivalenceRatio(lookUpCurve(table, rpm)));
}

function editsOf(packet: Packet, couldNot: string[]): readonly Edit[] {
  if (packet.asReceived === undefined) return [];
  if (packet.reference === undefined) {
    couldNot.push("what was changed from factory is not known: the packet holds no calibration/reference");
    return [];
  }
  return explainEdits(packet.asReceived, packet.reference);
}

const SEVERITY_ORDER: readonly Severity[] = ["stop", "fix", "watch", "note"];

/** The gravest first; within a severity by check, so that two runs print the same. */
function inOrder(findings: readonly Finding[]): readonly Finding[] {
  const rank = (finding: Finding): number => SEVERITY_ORDER.indexOf(finding.severity);
  return [...findings].sort((a, b) => rank(a) - rank(b) || (a.check < b.check ? -1 : a.check > b.check ? 1 : 0));
}

/** Where a proposal's sheets lie in the answer's folder. */
export function sheetPaths(proposal: Pick<CorrectionProposal, "role" | "heldBecause">): { readonly sheet: string; readonly confidence: string } {
  const folder = proposal.heldBecause === undefined ? "corrections" : "corrections/held";
  return { sheet: `${folder}/${proposal.role}.csv`, confidence: `${folder}/${proposal.role}.confidence.csv` };
}

function correctionOf(proposal: CorrectionProposal): Correction {
  return {
    role: proposal.role,
    ...sheetPaths(proposal),
    cellsChanged: proposal.cellsChanged,
    cellsCovered: proposal.cellsCovered,
    meanAbsChangePercent: proposal.meanAbsChangePercent,
    ...(proposal.heldBecause === undefined ? {} : { heldBecause: proposal.heldBecause }),
    summary: proposal.why,
    limited: proposal.limited,
  };
}

function summaryOf(recording: Recording, alignments: readonly AlignmentEvidence[]): RecordingSummary {
  const seen = alignments.find(({ file }) => file === recording.file);
  const signals: Record<string, string> = {};
  for (const channel of Object.values(recording.channels)) signals[channel.signal] = channel.source;
  return {
    file: recording.file,
    rows: recording.timeS.length,
    durationS: Math.round(durationS(recording) * 1000) / 1000,
    signals,
    unrecognised: recording.others.map((column) => column.source),
    repairs: recording.repairs,
    ...(seen === undefined ? {} : { alignment: alignmentSummary(seen) }),
  };
}

function alignmentSummary({ alignment, delayS, lowS, highS, flowGps, leftAsLogged, leftMovedBack }: AlignmentEvidence): AlignmentSummary {
  const rounded = (value: number): number => Math.round(value * 1e4) / 1e4;
  return {
    source: alignment.source,
    delayS: rounded(delayS),
    lowS: rounded(lowS),
    highS: rounded(highS),
    airflowGps: rounded(flowGps),
    lagS: rounded(alignment.lagS),
    differenceAsLogged: rounded(leftAsLogged),
    differenceMovedBack: rounded(leftMovedBack),
  };
}
