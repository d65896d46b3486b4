import { join } from "node:path";
import { expect, test } from "vitest";
import { loadPacket } from "../../src/cli/load-packet.ts";
import { runJob } from "../../src/core/job/index.ts";

// The answer to one bundled packet, rounded: a change of results shows in the difference of this file and is said in the changelog.
// Renew it with `npm test -- tests/golden -u` and read what changed.
const PACKET = join(import.meta.dirname, "../../examples/packets/idle-complaint");

/** Two digits: what a person would notice. */
function rounded(value: number): number {
  return Number(value.toPrecision(2));
}

test("the whole answer to the bundled idle complaint", async () => {
  const { result } = runJob(loadPacket(PACKET).packet);
  const shown = {
    edits: result.edits
      .filter(({ kind }) => kind !== "unchanged")
      .map(({ table, kind, by, region }) => ({ table, kind, by: by === undefined ? null : rounded(by), region })),
    findings: result.findings.map(({ check, severity, tables }) => ({ check, severity, tables })),
    leading: result.suspects.slice(0, 1).map(({ fault, probability }) => ({ fault, isSure: probability > 0.5 })),
    corrections: result.corrections.map(({ role, sheet, heldBecause }) => ({ role, sheet, heldBecause: heldBecause ?? null })),
    pulls: result.pulls.map(({ file, standard, factor, peakPowerKw, peakTorqueNm }) => ({
      file,
      standard,
      factor: Number(factor.toFixed(3)),
      peakPowerKw: rounded(peakPowerKw),
      peakTorqueNm: rounded(peakTorqueNm),
    })),
    recordings: result.recordings.map(({ file, rows, unrecognised, repairs }) => ({ file, rows, unrecognised, repairs })),
  };
  await expect(`${JSON.stringify(shown, null, 2)}\n`).toMatchFileSnapshot("idle-complaint.json");
});
