import { describe, expect, it } from "vitest";
import { BAY, contrastRatio, hexOf, mix, okLabOf, PAPER } from "../../src/drawing/index.ts";
import { type ReportModel, renderOwnerReport, renderReport, renderWorkshopSheet } from "../../src/report/index.ts";
import { INTAKE, MODEL, RESULT } from "./examples.ts";
import { all, type Element, everyElement, parseMarkup } from "./markup.ts";

const PAGES = { report: renderReport, owner: renderOwnerReport, workshop: renderWorkshopSheet };
const BARE: ReportModel = {
  result: { schema: "fettle.result/1", edits: [], findings: [], suspects: [], corrections: [], pulls: [], recordings: [], couldNot: [] },
  intake: { engine: { displacementL: 2, cylinders: 4 } },
};

describe.each(Object.entries(PAGES))("the %s page", (_, render) => {
  for (const [name, model] of [
    ["with everything", MODEL],
    ["with result and intake alone", BARE],
  ] as const)
    describe(name, () => {
      const html = render(model);
      const root = parseMarkup(html);

      it("needs nothing but itself", () => {
        const foreign = [...html.matchAll(/https?:\/\/[^\s"'<)]+/g)].map(([url]) => url).filter((url) => url !== "http://www.w3.org/2000/svg");
        expect(foreign).toEqual([]);
        expect(html).not.toMatch(/<script|<link|<img|@import|url\((?!#|data:)/);
      });

      it("nests its headings", () => {
        const levels = everyElement(root)
          .filter(({ name: tag }) => /^h[1-6]$/.test(tag))
          .map(({ name: tag }) => Number(tag[1]));
        expect(levels.filter((level) => level === 1)).toHaveLength(1);
        for (const [i, level] of levels.entries()) expect(level - (levels[i - 1] ?? 0)).toBeLessThanOrEqual(1);
      });

      it("has no id twice, and links that lead somewhere", () => {
        const ids = everyElement(root)
          .map((element) => element.attributes.id)
          .filter((id) => id !== undefined);
        expect(new Set(ids).size).toBe(ids.length);
        for (const link of all(root, "a")) expect(ids).toContain(link.attributes.href!.slice(1));
        for (const element of everyElement(root))
          for (const id of (element.attributes["aria-labelledby"] ?? "").split(" ").filter((part) => part !== "")) expect(ids).toContain(id);
      });

      it("numbers its figures in the order of the page, each with a caption", () => {
        const figures = all(root, "figure");
        figures.forEach((figure, i) => {
          expect(figure.attributes.id).toBe(`figure-${i + 1}`);
          expect(all(figure, "figcaption")[0]!.text.length).toBeGreaterThan(20);
          expect(all(figure, "svg")[0]!.attributes.role).toBe("img");
        });
      });

      it("heads every table column and row", () => {
        for (const table of all(root, "table")) {
          expect(all(table, "th").every((head) => head.attributes.scope === "col" || head.attributes.scope === "row")).toBe(true);
          expect(all(table, "thead")).toHaveLength(1);
        }
      });

      it("says the language, defers to local rules and names the law", () => {
        expect(all(root, "html")[0]!.attributes.lang).toBe("en");
        expect(root.text).toContain("Local rules");
        expect(root.text).toContain("42 U.S.C. 7522(a)(3)");
      });

      it("holds no number that is none", () => {
        expect(root.text).not.toMatch(/NaN|Infinity|undefined|\[object/);
      });
    });

  it("shows hostile words as words", () => {
    const html = render({ ...MODEL, intake: { ...INTAKE, vehicle: { label: `<script>alert("1")</script>` }, complaint: `"><img src=x>` } });
    expect(html).not.toContain("<script>");
    expect(html).not.toContain("<img");
    expect(() => parseMarkup(html)).not.toThrow();
  });
});

describe("the report", () => {
  const html = renderReport(MODEL);
  const root = parseMarkup(html);
  const sections = all(root, "section");
  const section = (id: string): Element => sections.find((candidate) => candidate.attributes.id === id)!;

  it("puts what must stop before everything else", () => {
    expect(sections[0]!.attributes.id).toBe("stop-first");
    expect(sections[0]!.text).toContain("The shift asks for less torque and nothing is taken away");
  });

  it("orders findings from the gravest", () => {
    const words = all(section("contradictions"), "div")
      .filter((div) => div.attributes.class === "sev")
      .map((div) => div.text);
    expect(words).toEqual(["Stop", "Watch", "Note"]);
  });

  it("draws the chain of the torque tables broken where the look-up has no answer", () => {
    const chains = all(section("contradictions"), "svg").filter((svg) => svg.attributes.class === "pic pic-chain");
    expect(chains).toHaveLength(1);
    expect(chains[0]!.text).toContain("no answer");
  });

  it("draws that chain whole where the factory's tables stand", () => {
    const whole = renderReport({ ...MODEL, asReceived: MODEL.reference });
    expect(parseMarkup(whole).text).toContain("The torque asked for in a shift is turned into spark retard");
  });

  it("keeps a held correction apart and says why", () => {
    const words = section("corrections").text;
    expect(words.indexOf("Held back until repaired")).toBeGreaterThan(words.indexOf("Cylinder filling"));
    expect(words).toContain("Held because of this suspect: throttle passes more air than its position says.");
  });

  it("says probabilities in words and figures, sizes with their interval", () => {
    const words = section("suspects").text;
    expect(words).toContain("very likely, 82 %");
    expect(words).toContain("18 ± 2 mm²");
    expect(words).toContain("15.4 and 19.6 mm²");
  });

  it("prints factor, standard, ambient and smoothing with the power", () => {
    const words = section("pulls").text;
    for (const part of ["SAE J1349", "1.0130", "98.6 kPa", "40 % humidity", "Local quadratic over ±0.7 s", "132.4", "Two spikes bridged"])
      expect(words).toContain(part);
  });

  it("tells what was mended, what was not recognised and what was left out", () => {
    expect(section("given").text).toContain("last row cut off after 18 of 27 fields: left out");
    expect(section("given").text).toContain("Oil temp [degC]");
    for (const line of RESULT.couldNot) expect(section("left-out").text).toContain(line);
  });

  it("lists files by their hashes", () => {
    for (const file of MODEL.files!) expect(section("files").text).toContain(file.sha256);
  });

  it("is the same page for the same job", () => {
    expect(renderReport(MODEL)).toBe(html);
  });

  it("speaks imperial by quantity, pictures and words alike", () => {
    const words = parseMarkup(renderReport(MODEL, { units: "imperial" })).text;
    // 132.4 kW / 0.7456999 = 177.6 hp; 247 Nm / 1.3558179 = 182.2 lb·ft (exact definitions of pound, foot and second).
    for (const part of ["177.6", "182.2", "[hp]", "[lb·ft]", "[psi]", "75 °F"]) expect(words).toContain(part);
    const mixed = parseMarkup(renderReport(MODEL, { units: { kW: "hp" } })).text;
    expect(mixed).toContain("[hp]");
    expect(mixed).toContain("[kPa]");
  });

  it("prints on any paper with heads repeated and pictures whole", () => {
    expect(html).toContain("@page{");
    expect(html).not.toMatch(/size:\s*A4/);
    expect(html).toContain("thead{display:table-header-group}");
    expect(html).toMatch(/\.keep\{break-inside:avoid\}/);
  });

  it("can be asked for one theme, and carries fonts when it is given them", () => {
    expect(renderReport(MODEL, { theme: "bay" })).toContain('data-theme="bay"');
    const withFonts = renderReport(MODEL, { fonts: { words: "AAAA" } });
    expect(withFonts).toContain("data:font/woff2;base64,AAAA");
    expect(html).not.toContain("@font-face");
  });

  it("keeps figures in tinted cells at 7:1", () => {
    // The strongest tint is 21 % of the scale's end on the ground, mixed in OKLab as the style sheet does.
    for (const theme of [PAPER, BAY])
      for (const end of [theme.less, theme.more])
        expect(contrastRatio(theme.ink, hexOf(mix(okLabOf(theme.ground), okLabOf(end), 0.21)))).toBeGreaterThanOrEqual(7);
  });
});

describe("the owner's page", () => {
  const words = parseMarkup(renderOwnerReport(MODEL)).text;

  it("tells in plain words what is worn, what to replace and what was not done", () => {
    expect(words).toContain("The throttle body lets more air through than it reports");
    expect(words).toContain("Replace the throttle body");
    expect(words).toContain("must be repaired first");
    expect(words).toContain("10 % ethanol");
  });

  it("lets the calibrator's own words stand instead", () => {
    const own = parseMarkup(
      renderOwnerReport({ ...MODEL, handover: { done: ["Idle was taught anew."], parts: [{ part: "Throttle body", why: "worn bore", quality: "original" }] } }),
    ).text;
    expect(own).toContain("Idle was taught anew.");
    expect(own).toContain("worn bore");
    expect(own).not.toContain("Replace the throttle body with");
  });
});

describe("the workshop sheet", () => {
  it("gives every change its reason and every file its hash", () => {
    const words = parseMarkup(renderWorkshopSheet(MODEL)).text;
    for (const part of ["fitted to the drive of 3 May", "bench one", "ab".repeat(32), "all 4 cells set to 0".replace("all", "All"), "1.0130"])
      expect(words).toContain(part);
  });
});
