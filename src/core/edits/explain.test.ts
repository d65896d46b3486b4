import { describe, expect, it } from "vitest";
import { calibrationOf, curve, grid, single, type Table, withCells } from "../tables/index.ts";
import { explainEdit, explainEdits } from "./index.ts";

const x = [800, 1600, 2400, 3200, 4000, 4800, 5600];
const y = [20, 40, 60, 80, 100];
const ve = grid(
  "air.ve",
  "%",
  x,
  y,
  y.map((p) => x.map((n) => Math.round((60 + p / 4 - ((n - 4000) / 900) ** 2) * 10) / 10)),
);
const change = (table: Table, how: (value: number, row: number, column: number) => number): Table =>
  withCells(
    table,
    table.cells.map((v, i) => how(v, Math.floor(i / x.length), i % x.length)),
  );
const tenth = (v: number): number => Math.round(v * 10) / 10;

describe("explainEdit", () => {
  it("says nothing was done when nothing was", () => {
    expect(explainEdit(ve, ve)).toMatchObject({ kind: "unchanged", cells: 0 });
  });

  it("finds a factor through the table's rounding", () => {
    const edit = explainEdit(
      change(ve, (v) => tenth(v * 1.12)),
      ve,
    );
    expect(edit).toMatchObject({ kind: "scaled", by: 1.12, cells: 35 });
    expect(edit.summary).toBe("all 35 cells times 1.12, rounded to 0.1");
  });

  it("finds a factor whose largest cells were cut at the table's limit", () => {
    const edit = explainEdit(
      change(ve, (v) => Math.min(90, tenth(v * 1.12))),
      ve,
    );
    expect(edit).toMatchObject({ kind: "scaled", by: 1.12 });
    expect(edit.summary).toContain("held at the largest value 90");
  });

  it("names the rectangle that was scaled or raised", () => {
    const isIn = (row: number, column: number): boolean => row >= 1 && row <= 3 && column >= 2 && column <= 4;
    expect(
      explainEdit(
        change(ve, (v, r, c) => (isIn(r, c) ? tenth(v * 1.08) : v)),
        ve,
      ),
    ).toMatchObject({
      kind: "part-scaled",
      by: 1.08,
      region: [
        [1, 2],
        [3, 4],
      ],
      cells: 9,
    });
    expect(
      explainEdit(
        change(ve, (v, r, c) => (isIn(r, c) ? v - 3 : v)),
        ve,
      ),
    ).toMatchObject({
      kind: "part-offset",
      by: -3,
      region: [
        [1, 2],
        [3, 4],
      ],
    });
    expect(
      explainEdit(
        change(ve, (v, r, c) => (isIn(r, c) ? 75 : v)),
        ve,
      ),
    ).toMatchObject({
      kind: "patched",
      region: [
        [1, 2],
        [3, 4],
      ],
    });
    expect(
      explainEdit(
        change(ve, (v, r, c) => (isIn(r, c) ? ve.cells[c]! : v)),
        ve,
      ),
    ).toMatchObject({
      kind: "patched",
      region: [
        [1, 2],
        [3, 4],
      ],
    });
  });

  it("tells spikes, a ceiling and a redrawn surface apart", () => {
    expect(
      explainEdit(
        change(ve, (v, r, c) => ((r === 1 && c === 1) || (r === 3 && c === 5) ? v + 6 : v)),
        ve,
      ),
    ).toMatchObject({ kind: "spiked", cells: 2 });
    expect(
      explainEdit(
        change(ve, (v) => Math.min(v, 78)),
        ve,
      ),
    ).toMatchObject({ kind: "clamped" });
    expect(
      explainEdit(
        change(ve, (v, r, c) => tenth(v - 12 * Math.exp(-r / 2 - c / 2))),
        ve,
      ),
    ).toMatchObject({ kind: "reshaped" });
  });

  it("takes the same numbers in another unit for the same numbers", () => {
    const kmh = curve("trans.shift-speed-up", "km/h", [0, 20, 40, 60, 80, 100], [20, 31, 47, 66, 85, 110]);
    const mph = { unit: "mph", scale: 1.609344, offset: 0, decimals: 1 };
    const inMph: Table = { ...kmh, format: mph, cells: kmh.cells.map((v) => (Math.round((v / 1.609344) * 10) / 10) * 1.609344) };
    expect(explainEdit(inMph, { ...kmh, format: { unit: "km/h", scale: 1, offset: 0, decimals: 0 } })).toMatchObject({ kind: "unchanged" });
  });

  it("looks the reference up at other breakpoints before it compares", () => {
    const reference = curve("trans.shift-time", "s", [0, 100, 200, 300, 400], [0.5, 0.45, 0.4, 0.35, 0.3]);
    const finer = curve("trans.shift-time", "s", [0, 50, 100, 200, 300, 400], [0.5, 0.475, 0.45, 0.4, 0.35, 0.3]);
    const only = explainEdit(finer, reference);
    expect(only).toMatchObject({ kind: "axes-changed", cells: 0 });
    expect(only.summary).toContain("only the axes changed");
    expect(
      explainEdit(
        withCells(
          finer,
          finer.cells.map((v) => v * 0.8),
        ),
        reference,
      ).summary,
    ).toContain("the values differ too");
  });

  it("describes single values and switches", () => {
    expect(explainEdit(single("limit.vehicle-speed", "km/h", 290), single("limit.vehicle-speed", "km/h", 250))).toMatchObject({ kind: "scaled", by: 1.16 });
    expect(explainEdit(single("torque.brake-hold-reduction", "0/1", 0), single("torque.brake-hold-reduction", "0/1", 1))).toMatchObject({
      kind: "zeroed",
      by: 0,
      cells: 1,
    });
  });
});

describe("explainEdits", () => {
  it("pairs by role, tells missing and added tables, and knows another axle when it sees one", () => {
    const shift = (k: number): Table => ({
      ...curve(
        "trans.shift-speed-up",
        "km/h",
        [0, 20, 40, 60, 80, 100],
        [20, 31, 47, 66, 85, 110].map((v) => Math.round(v * k)),
      ),
      title: k === 1 ? "A" : "B",
    });
    const axle = (ratio: number): Table => single("driveline.axle-ratio", "-", ratio);
    const edits = explainEdits(
      calibrationOf([shift(1), axle(4.1), single("limit.vehicle-speed", "km/h", 200)]),
      calibrationOf([shift(4.1 / 3.73), axle(3.73), single("limit.engine-speed", "rpm", 6500)]),
    );
    expect(edits.map((e) => [e.role, e.kind])).toEqual([
      ["driveline.axle-ratio", "scaled"],
      ["limit.engine-speed", "missing"],
      ["limit.vehicle-speed", "added"],
      ["trans.shift-speed-up", "scaled"],
    ]);
    expect(edits[3]!.summary).toContain("the other axle");
  });
});
