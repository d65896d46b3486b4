import { type JobOutcome, sheetPaths } from "../core/job/index.ts";
import { confidenceSheet, type TableSheet, withRole, writeTableSheet } from "../formats/index.ts";
import type { LoadedPacket, OutFile } from "./loaded.ts";
import { reportOf } from "./report-of.ts";

/** Everything that a run leaves in its folder: the answer, the report, and whole tables ready to be taken back, by hash in the report. */
export function resultFiles(loaded: LoadedPacket, outcome: JobOutcome): readonly OutFile[] {
  const sheets = outcome.proposals.flatMap((proposal): OutFile[] => {
    const sheet = sheetOf(loaded.asReceivedSheets, proposal.role);
    if (sheet === undefined) throw new Error(`no sheet for ${proposal.role}`);
    const paths = sheetPaths(proposal);
    return [
      { path: paths.sheet, content: writeTableSheet(withRole(sheet, proposal.role), proposal.after.cells) },
      { path: paths.confidence, content: confidenceSheet(withRole(sheet, proposal.role), proposal) },
    ];
  });
  return [
    ...sheets,
    { path: "report.html", content: reportOf(loaded, outcome, sheets) },
    { path: "result.json", content: `${JSON.stringify(outcome.result, null, 2)}\n` },
  ];
}

function sheetOf(sheets: readonly TableSheet[], role: string): TableSheet | undefined {
  return sheets.find((sheet) => sheet.table.role === role);
}
