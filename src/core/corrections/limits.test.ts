import { describe, expect, it } from "vitest";
import type { Table } from "../tables/index.ts";
import type { CellChange, CorrectionDefinition } from "./define.ts";
import { limitCells } from "./limits.ts";

const axis = Float64Array.from({ length: 41 }, (_, k) => 1000 + 100 * k);
const before: Table = { title: "Volumetric efficiency", unit: "%", x: { name: "Engine speed", unit: "rpm", values: axis }, cells: axis.map(() => 80) };
const definition: CorrectionDefinition = {
  id: "air.ve",
  title: "limits",
  writes: "air.ve",
  needs: [],
  observationsNeeded: "",
  why: "",
  heldBy: [],
  largestStep: 0.15,
  sources: [],
  compute: () => ({}),
};
const asked = 0.3;

function limited(sdOf: (k: number) => number, step = asked): Float64Array {
  const change: CellChange = {
    cells: before.cells.map((cell) => cell * (1 + step)),
    sd: axis.map((_, k) => sdOf(k)),
    sdKind: "relative",
    coverage: axis.map(() => 0),
    why: "",
  };
  return limitCells(definition, before, change).cells;
}

describe("the largest step of one round", () => {
  it("lets a change pass that is clear beyond its doubt, and holds one that is not", () => {
    expect(limited(() => 0.02)[0]).toBeCloseTo(80 * 1.3, 9);
    expect(limited(() => 0.25)[0]).toBeCloseTo(80 * 1.15, 9);
    expect(limited(() => 0.25, -0.3)[0]).toBeCloseTo(80 * 0.85, 9);
    expect(limited(() => 0.5, 0.1)[0]).toBeCloseTo(80 * 1.1, 9);
  });

  it("makes no step between neighbours whose doubt differs a little", () => {
    const cells = limited((k) => 0.05 + 0.005 * k);
    let largest = 0;
    for (let k = 1; k < cells.length; k++) {
      expect(cells[k]!).toBeLessThanOrEqual(cells[k - 1]! + 1e-12);
      largest = Math.max(largest, cells[k - 1]! - cells[k]!);
    }
    expect(cells[0]! - cells[cells.length - 1]!).toBeCloseTo(12, 9);
    expect(largest).toBeLessThan(2);
  });
});
