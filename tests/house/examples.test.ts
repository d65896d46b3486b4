import fs from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { coherentResultSchema } from "../../src/api/index.ts";
import { loadPacket } from "../../src/cli/load-packet.ts";
import { runJob } from "../../src/core/job/index.ts";

const PACKETS = path.resolve(import.meta.dirname, "../../examples/packets");

interface Truth {
  readonly faults: readonly { readonly id: string }[];
  readonly findings: readonly { readonly check: string }[];
}

describe.each(fs.readdirSync(PACKETS))("example packet %s", (name) => {
  const folder = path.join(PACKETS, name);
  const { result } = runJob(loadPacket(folder).packet);
  const truth = JSON.parse(fs.readFileSync(path.join(folder, "truth.json"), "utf8")) as Truth;

  test("gives a result in the fixed form, also after the way through JSON", () => {
    expect(coherentResultSchema.safeParse(JSON.parse(JSON.stringify(result))).error).toBeUndefined();
  });

  test("is judged as it was made", () => {
    expect(result.suspects[0]?.fault).toBe(truth.faults[0]?.id ?? "healthy");
    expect(result.findings.map((finding) => finding.check)).toEqual(expect.arrayContaining(truth.findings.map((finding) => finding.check)));
  });
});
