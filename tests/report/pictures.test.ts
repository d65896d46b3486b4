import { describe, expect, it } from "vitest";
import {
  chain,
  coverage,
  ENGLISH_DRAWING_WORDS,
  field,
  type Picture,
  profile,
  relief,
  reliefFacets,
  severityMark,
  shifts,
  standaloneSvg,
  story,
  strip,
  sweep,
  textWidthPx,
} from "../../src/drawing/index.ts";
import { all, type Element, parseMarkup } from "./markup.ts";

const x = { name: "Engine speed", unit: "rpm", values: [500, 1000, 2000, 3000, 4500, 6500] };
const y = { name: "Manifold absolute pressure", unit: "kPa", values: [20, 40, 60, 80, 100] };
const cells = y.values.flatMap((kpa) => x.values.map((rpm) => 60 + kpa / 4 + 10 * Math.sin(rpm / 1500)));
const changes = cells.map((_, i) => (i % 3 === 0 ? 0 : (i - 12) / 2));
const value = { name: "Volumetric efficiency", unit: "%" };
const caption = "A sentence that says what was found.";
const timeS = Float64Array.from({ length: 3000 }, (_, i) => i * 0.1);
const rpm = Float64Array.from({ length: 60 }, (_, i) => 1500 + 80 * i);

/** One picture of every kind, wide and narrow, with the units that must appear in it. */
const PICTURES: readonly [Picture, readonly string[]][] = [960, 470].flatMap((widthPx): [Picture, string[]][] => [
  [
    profile({
      id: "a",
      title: "t",
      caption,
      widthPx,
      x,
      y: { name: "A quantity with a rather long name indeed", unit: "%" },
      lines: [20, 60, 100].map((kpa, row) => ({
        label: `${kpa} kPa`,
        before: cells.slice(row * 6, row * 6 + 6),
        after: cells.slice(row * 6 + 6, row * 6 + 12),
        low: cells.slice(row * 6, row * 6 + 6),
        high: cells.slice(row * 6 + 12, row * 6 + 18),
      })),
      limit: { value: 90, label: "ceiling 90 %" },
    }),
    ["rpm", "%"],
  ],
  [field({ id: "b", title: "t", caption, widthPx, x, y, cells, value, mode: "value", contours: true }), ["rpm", "kPa", "%"]],
  [
    field({
      id: "c",
      title: "t",
      caption,
      widthPx,
      x,
      y,
      cells: changes,
      value,
      mode: "difference",
      solidity: cells.map((_, i) => i % 4),
      solidityWords: ["not seen", "little", "some", "sure"],
      region: [
        [1, 1],
        [2, 3],
      ],
    }),
    ["rpm", "kPa", "%"],
  ],
  [
    shifts({
      id: "s",
      title: "t",
      caption,
      widthPx,
      axis: "Movement in spreads",
      ordinary: 2,
      ordinaryName: "ordinary",
      shifts: [
        { name: "Coolant once warmed up", spreads: -11.6, says: "−38 °C" },
        { name: "A residual with a name that is much longer than the room beside a narrow picture", spreads: 2.4, says: "+5.1 g/s" },
        { name: "Off the end", spreads: 40, says: "+9 %" },
        { name: "Nothing known", spreads: Number.NaN, says: "" },
      ],
    }),
    ["°C", "g/s", "%"],
  ],
  [relief({ id: "d", title: "t", caption, widthPx, x, y, cells, value }), ["rpm", "kPa", "%"]],
  [
    strip({
      id: "e",
      title: "t",
      caption,
      widthPx,
      fromS: 130,
      toS: 200,
      lanes: [
        { unit: "rpm", series: [{ signal: "rpm", label: "Engine speed", timeS, values: timeS.map((s) => 800 + 300 * Math.sin(s)) }] },
        { unit: "λ", rule: 1, series: [{ signal: "lambda", label: "Lambda measured", timeS, values: timeS.map((s) => 1 + 0.1 * Math.sin(s)) }] },
      ],
      moments: [
        { fromS: 130, toS: 190, label: "warm idle" },
        { fromS: 140, toS: 150, label: "cruise" },
      ],
      evidence: [{ fromS: 195, toS: 199, label: "more air than was asked for" }],
    }),
    ["rpm", "λ", "min:s"],
  ],
  [
    story({
      id: "f",
      title: "t",
      caption,
      widthPx,
      x: { name: "Airflow", unit: "g/s" },
      y: { name: "Fuel residual", unit: "%" },
      points: { x: rpm.map((n) => n / 100), y: rpm.map((n) => 900 / n - 0.2), sd: rpm.map(() => 0.1) },
      curves: [
        { label: "air after the meter", x: [15, 30, 60], y: [0.5, 0.2, 0.1], low: [0.4, 0.1, 0], high: [0.6, 0.3, 0.2], isLeading: true },
        { label: "meter reads low", x: [15, 60], y: [0.2, 0.2] },
      ],
    }),
    ["g/s", "%"],
  ],
  [
    chain({
      id: "g",
      title: "t",
      caption,
      widthPx: Math.max(720, widthPx),
      steps: ["request", "look-up", "effect"].map((part) => ({
        part,
        name: `The ${part} of the chain`,
        says: "says so much",
        profile: { x: { name: "Engine torque", unit: "Nm", values: [0, 200, 400] }, y: { name: "Share", unit: "fraction" }, lines: [[0, 0.1, 0.3]] },
      })),
      links: [{ isBroken: false }, { isBroken: true, label: "no answer" }],
    }),
    ["Nm", "fraction"],
  ],
  [
    sweep({
      id: "h",
      title: "t",
      caption,
      widthPx,
      x: { name: "Engine speed", unit: "rpm" },
      panels: [
        {
          quantity: { name: "Power", unit: "kW" },
          fromZero: true,
          lines: [{ label: "mean", x: rpm, y: rpm.map((n) => n / 30), weight: "main" }],
          band: { x: rpm, low: rpm.map((n) => n / 31), high: rpm.map((n) => n / 29) },
          peak: { x: 6220, y: 207.3 },
        },
        { quantity: { name: "Torque", unit: "Nm" }, lines: [{ label: "mean", x: rpm, y: rpm.map((n) => 300 - n / 60), weight: "main" }] },
      ],
    }),
    ["rpm", "kW", "Nm"],
  ],
  [coverage({ id: "i", title: "t", caption, widthPx, x, y, dwellS: cells.map((_, i) => i - 8), next: [{ x: 3000, y: 60 }] }), ["rpm", "kPa", "s"]],
]);

describe.each(PICTURES.map(([picture, units]) => ({ name: `${picture.kind} ${picture.widthPx}`, picture, units })))("$name", ({ picture, units }) => {
  const svg = parseMarkup(picture.svg).children[0]!;

  it("is an image with a name, a description and a caption", () => {
    expect(svg.attributes.role).toBe("img");
    expect(svg.attributes["aria-labelledby"]).toBe(`${picture.id}-t ${picture.id}-d`);
    expect(all(svg, "title")[0]!.text).not.toBe("");
    expect(all(svg, "desc")[0]!.text).toContain(caption);
    expect(picture.caption).toBe(caption);
  });

  it("names its units", () => {
    const words = all(svg, "text")
      .map((text) => text.text)
      .join(" | ");
    for (const unit of units) expect(words).toContain(unit);
  });

  it("holds no number that is none", () => {
    expect(picture.svg).not.toMatch(/NaN|Infinity|undefined|null/);
  });

  it("neither clips nor overlaps words, by the widest fall-back font", () => {
    const boxes = all(svg, "text").map((text) => boxOf(text));
    for (const box of boxes) {
      expect.soft(box.left, box.text).toBeGreaterThanOrEqual(-1);
      expect.soft(box.right, box.text).toBeLessThanOrEqual(picture.widthPx + 1);
      expect.soft(box.top, box.text).toBeGreaterThanOrEqual(-1);
      expect.soft(box.bottom, box.text).toBeLessThanOrEqual(picture.heightPx + 1);
    }
    boxes.forEach((one, i) => {
      for (const other of boxes.slice(i + 1)) {
        const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
        const down = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
        expect.soft(across > 2 && down > 3, `"${one.text}" and "${other.text}"`).toBe(false);
      }
    });
  });
});

interface Box {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

function boxOf(text: Element): Box {
  const size = Number(text.attributes["font-size"] ?? 14);
  const width = textWidthPx(text.text, size);
  const [cx, cy] = [Number(text.attributes.x), Number(text.attributes.y)];
  const classes = (text.attributes.class ?? "").split(" ");
  const left = classes.includes("end") ? cx - width : classes.includes("mid") ? cx - width / 2 : cx;
  return { text: text.text, left, right: left + width, top: cy - size * 0.75, bottom: cy + size * 0.2 };
}

describe("a field", () => {
  const picture = field({ id: "w", title: "t", caption, x, y, cells: changes, value, mode: "difference" });
  const svg = parseMarkup(picture.svg);

  it("draws cells as wide as their breakpoints are apart", () => {
    const firstRow = all(svg, "rect")
      .filter((rect) => rect.attributes.class?.startsWith("cell ") && Number(rect.attributes.height) > 20)
      .slice(0, 6);
    const widths = firstRow.map((rect) => Number(rect.attributes.width));
    // Edges at 250, 750, 1500, 2500, 3750, 5500, 7500 rpm.
    const expected = [500, 750, 1000, 1250, 1750, 2000];
    for (const [i, width] of widths.entries()) expect(width / widths[0]!).toBeCloseTo(expected[i]! / expected[0]!, 1);
  });

  it("leaves an unchanged cell empty with a dot, and no other", () => {
    const dots = all(svg, "circle").filter((circle) => circle.attributes.class === "same");
    const unchanged = changes.filter((change) => change === 0).length;
    expect(dots).toHaveLength(unchanged + 1); // one more in the legend
  });
});

describe("a relief", () => {
  it("paints from far to near, whatever way it is turned", () => {
    for (const turnDeg of [0, 35, 120, 200, 310]) {
      const facets = reliefFacets({ x, y, cells }, { turnDeg, tiltDeg: 30 });
      expect(facets).toHaveLength(20);
      for (let i = 1; i < facets.length; i++) expect(facets[i]!.depth).toBeLessThanOrEqual(facets[i - 1]!.depth);
    }
  });
});

describe("a chain", () => {
  it("says in words where it is broken", () => {
    const [picture] = PICTURES.find(([candidate]) => candidate.kind === "chain")!;
    expect(picture.description).toContain("no answer");
  });
});

describe("pictures as files", () => {
  it("match what was looked at and found good", async () => {
    const small = profile({
      id: "p",
      title: "Idle airflow",
      caption: "Idle airflow rises by 2 g/s.",
      widthPx: 360,
      heightPx: 200,
      x: { name: "Coolant temperature", unit: "°C", values: [-20, 20, 90] },
      y: { name: "Idle airflow", unit: "g/s" },
      lines: [{ label: "", before: [14, 9, 6], after: [16, 11, 8] }],
    });
    const tiny = field({
      id: "q",
      title: "Spark",
      caption: "One cell holds 4° more.",
      widthPx: 360,
      heightPx: 220,
      x: { name: "Engine speed", unit: "rpm", values: [800, 1600, 4000] },
      y: { name: "Air per cylinder", unit: "g/cyl", values: [0.2, 0.6] },
      cells: [0, 4, 0, -1, 0, 0],
      value: { name: "Spark", unit: "°" },
      mode: "difference",
    });
    await expect(readable(small.svg)).toMatchFileSnapshot("golden/profile.svg");
    await expect(readable(tiny.svg)).toMatchFileSnapshot("golden/field.svg");
    await expect(readable((["stop", "fix", "watch", "note"] as const).map(severityMark).join(""))).toMatchFileSnapshot("golden/severities.svg");
  });

  it("carry their own style when they stand alone", () => {
    const alone = standaloneSvg(PICTURES[1]![0]);
    expect(alone).toContain("--ground:");
    expect(alone).toContain(".pic .v0");
    expect(() => parseMarkup(alone)).not.toThrow();
  });

  it("take their words from whoever draws them", () => {
    const words = { ...ENGLISH_DRAWING_WORDS, before: "vorher", after: "nachher" };
    const picture = profile({ id: "z", title: "t", caption, x, y: value, lines: [{ label: "", before: cells.slice(0, 6), after: cells.slice(6, 12) }], words });
    expect(picture.svg).toContain("vorher");
    expect(picture.svg).not.toContain(">before<");
  });
});

function readable(svg: string): string {
  return `${svg.replace(/></g, ">\n<")}\n`;
}
