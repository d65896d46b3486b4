import { describe, expect, test } from "vitest";
import { type ComebackDetail, renderReport, renderWorkshopSheet } from "../../src/report/index.ts";
import { MODEL } from "./examples.ts";
import { all, parseMarkup } from "./markup.ts";

const COMEBACK: ComebackDetail = {
  left: { job: "Rough idle <after the cam>", on: "2026-05-02", revision: 3 },
  conditions: ["fuel: 10 % ethanol then, 85 % now"],
  tables: {
    verdict: "ours but for some cells",
    cellsChanged: 12,
    cells: 900,
    changed: [{ table: "Cylinder filling", cells: 12, summary: "12 cells times 1.05" }],
    missing: ["Torque lost to retard"],
  },
  basis: "moved since",
  moved: [
    { title: "Coolant once warmed up", unit: "°C", by: -38, spreads: -11.7, atHandover: 90.5, onReturn: 52.5 },
    { title: "Meter over speed-density air at idle", unit: "%", by: 4.8, spreads: 1.1 },
    { title: "Fuel residual at idle", unit: "%", by: 0.3, spreads: 0.2 },
  ],
  suspects: [
    { fault: "cooling.runs-cold", probability: 0.97, for: [{ text: "coolant stays at 53 °C" }], against: [] },
    { fault: "healthy", probability: 0.03, for: [], against: [] },
  ],
  couldNot: ["Fuel trims when driven: seen when it left but not now"],
};

const tables = (verdict: ComebackDetail["tables"]["verdict"], cellsChanged = 0): ComebackDetail["tables"] => ({
  verdict,
  cellsChanged,
  cells: 900,
  changed: [],
  missing: [],
});

describe("a vehicle that came back", () => {
  const html = renderReport({ ...MODEL, comeback: COMEBACK });
  const words = parseMarkup(html).text;

  test("is held against how it left, before anything else but what must stop", () => {
    expect(html.indexOf(`id="since-it-left"`)).toBeLessThan(html.indexOf(`id="given"`));
    expect(html).toContain("Held against how the vehicle left us on 2026-05-02 (Rough idle &lt;after the cam&gt;, revision 3)");
    expect(words).toContain("1 of the 3 figures moved further than a sound vehicle does between two visits; coolant once warmed up the furthest.");
    expect(words).toContain("Ours but for 12 of 900 cells, in 1 table: another hand was at it since.");
    expect(words).toContain("Fuel: 10 % ethanol then, 85 % now");
    expect(words).toContain("Not read this time: Torque lost to retard.");
  });

  test("lists what moved, and residuals that hardly did only in the picture", () => {
    const table = all(parseMarkup(html), "table").find((each) => each.text.includes("When it left"))!;
    expect(table.text).toContain("−11.7");
    expect(table.text).toContain("Meter over speed-density air at idle");
    expect(table.text).not.toContain("Fuel residual at idle");
    expect(all(parseMarkup(html), "svg").some((svg) => svg.text.includes("Fuel residual at idle"))).toBe(true);
  });

  test("shows a difference of temperature by its own scale, without the offset", () => {
    const imperial = parseMarkup(renderReport({ ...MODEL, comeback: COMEBACK }, { units: "imperial" })).text;
    // −38 °C apart is −38 · 1.8 = −68.4 °F apart; 90.5 °C is 194.9 °F, written with three figures.
    expect(imperial).toContain("−68 °F");
    expect(imperial).toContain("195 °F");
  });

  test.each<readonly [Partial<ComebackDetail>, string]>([
    [{ ours: 3, tables: tables("still ours") }, "Ours still: revision 3, cell for cell."],
    [{ tables: tables("as the reference again", 400) }, "The factory's again: every table equals the reference."],
    [{ tables: tables("not known") }, "Not known: what left with the vehicle or what came back is not there."],
    [{ tables: tables("another calibration", 700) }, "Another calibration, by a hand we do not know: 700 of 900 cells differ from what left."],
    [{ basis: "these recordings alone" }, "suspects rest on the new recordings alone"],
  ])("says whose tables are in it and what the suspects rest on: %#", (given, sentence) => {
    expect(parseMarkup(renderReport({ ...MODEL, comeback: { ...COMEBACK, ...given } })).text).toContain(sentence);
  });

  test("is not mentioned where no earlier visit is known", () => {
    expect(renderReport(MODEL)).not.toContain("since-it-left");
  });
});

test("the workshop's sheet holds how the vehicle leaves", () => {
  const left = {
    on: "2026-05-02",
    revision: 3,
    residuals: 85,
    figures: [
      { title: "Supply voltage while running", unit: "V", value: 14.2, scatter: 0.06, spells: 15 },
      { title: "Coolant once warmed up", unit: "°C", value: 90.5, scatter: 0, spells: 1 },
    ],
  };
  const page = parseMarkup(renderWorkshopSheet({ ...MODEL, left }));
  expect(page.text).toContain("Kept on 2026-05-02 from the last drive on revision 3: 85 residuals by region of operation");
  expect(page.text).toContain("15 spells");
  expect(page.text).toContain("1 spell");
  expect(renderWorkshopSheet(MODEL)).not.toContain("how-it-left");
});
