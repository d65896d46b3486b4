import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { simulateToFolder } from "./simulate.ts";

const folder = mkdtempSync(join(tmpdir(), "fettle-simulate-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe("simulateToFolder", () => {
  it("writes a packet with its truth, and says what it wrote", () => {
    const made = simulateToFolder({ seed: 3, out: folder, faults: ["fuel.injector-flow-mismatch"], severity: 0.5, dialect: "tabs", sweeps: 1 });
    expect(made.summary).toContain("fuel.injector-flow-mismatch 0.50");
    for (const path of ["intake.json", "truth.json", "recordings/road.csv", "recordings/idle.csv", "pulls/sweep-1.csv"]) expect(made.files).toContain(path);
    const truth = JSON.parse(readFileSync(join(folder, "truth.json"), "utf8"));
    expect(truth.faults[0]).toMatchObject({ id: "fuel.injector-flow-mismatch", severity: 0.5 });
    expect(truth.corrections["air.ve"].true.length).toBe(truth.corrections["air.ve"].asReceived.length);
  });

  it("refuses what it does not know and names what it does", () => {
    expect(() => simulateToFolder({ seed: 1, out: folder, faults: ["air.leak"] })).toThrow(/unknown fault "air.leak"; known: air.unmetered-leak/);
    expect(() => simulateToFolder({ seed: 1, out: folder, dialect: "runes" })).toThrow(/unknown dialect "runes"; known: plain-commas/);
    expect(() => simulateToFolder({ seed: 1, out: folder, family: "w16" })).toThrow(/no family fits/);
  });
});
