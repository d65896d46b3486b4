// The bundled build: the main entry goes through a loader that fails on Node 22 and newer.
import unit from "unitmath/dist/UnitMath.js";
import { describe, expect, it } from "vitest";
import { conversionOf, convert, isConvertible, knownUnits, parseUnit } from "./conversions.ts";

/** Our symbol, the same unit in `unitmath` (an independent unit library, Apache-2.0), and what to convert to in both. */
const PAIRS: readonly (readonly [ours: string, theirs: string, ourBase: string, theirBase: string])[] = [
  ["Pa", "Pa", "kPa", "kPa"],
  ["MPa", "MPa", "kPa", "kPa"],
  ["hPa", "hPa", "kPa", "kPa"],
  ["mbar", "mbar", "kPa", "kPa"],
  ["bar", "bar", "kPa", "kPa"],
  ["psi", "psi", "kPa", "kPa"],
  ["mmHg", "mmHg", "kPa", "kPa"],
  ["atm", "atm", "kPa", "kPa"],
  ["kg/h", "kg/hr", "g/s", "g/s"],
  ["kg/min", "kg/min", "g/s", "g/s"],
  ["kg/s", "kg/s", "g/s", "g/s"],
  ["mg/s", "mg/s", "g/s", "g/s"],
  ["lb/min", "lbm/min", "g/s", "g/s"],
  ["lb/h", "lbm/hr", "g/s", "g/s"],
  ["lb/s", "lbm/s", "g/s", "g/s"],
  ["°F", "degF", "°C", "degC"],
  ["K", "K", "°C", "degC"],
  ["mph", "mi/hr", "km/h", "km/hr"],
  ["m/s", "m/s", "km/h", "km/hr"],
  ["ft/s", "ft/s", "km/h", "km/hr"],
  ["ms", "ms", "s", "s"],
  ["min", "min", "s", "s"],
  ["h", "hr", "s", "s"],
  ["d", "day", "s", "s"],
  ["mV", "mV", "V", "V"],
  ["kHz", "kHz", "Hz", "Hz"],
  ["lb·ft", "lbf ft", "Nm", "N m"],
  ["hp", "hp", "kW", "kW"],
  ["W", "W", "kW", "kW"],
  ["kN", "kN", "N", "N"],
  ["lbf", "lbf", "N", "N"],
  ["in²", "in^2", "mm²", "mm^2"],
  ["cm²", "cm^2", "mm²", "mm^2"],
  ["in³", "in^3", "L", "L"],
  ["in", "in", "mm", "mm"],
  ["ft", "ft", "mm", "mm"],
  ["mi", "mi", "km", "km"],
  ["lb", "lbm", "kg", "kg"],
  ["rad", "rad", "deg", "deg"],
];

describe("conversions against unitmath", () => {
  for (const [ours, theirs, ourBase, theirBase] of PAIRS)
    it(`${ours} to ${ourBase}`, () => {
      for (const value of [-40, 0, 1, 14.7, 1013.25]) {
        const expected = unit(value, theirs).to(theirBase).getValue() as number;
        // Twelve digits: both use the exact definitions, roundings differ; temperatures lose some by the offset.
        expect(convert(value, ours, ourBase)).toBeCloseTo(expected, 9 - Math.max(0, Math.ceil(Math.log10(Math.abs(expected) + 1))));
      }
    });
});

describe("conversions against published factors", () => {
  // PH-17: 1 psi 6.894757 kPa; 1 inHg 3.386389 kPa; 1 mile 1.609344 km; 1 lbf ft 1.355817948 N m; 1 PS 0.73549875 kW; 1 hp 0.745699872 kW.
  it.each([
    ["psi", "kPa", 6.894757, 1e-7],
    ["inHg", "kPa", 3.386389, 1e-6],
    ["mi", "km", 1.609344, 1e-12],
    ["lb·ft", "Nm", 1.355817948, 1e-9],
    ["PS", "kW", 0.73549875, 1e-12],
    ["hp", "kW", 0.745699872, 1e-9],
  ])("one %s in %s (PH-17)", (from, to, expected, relative) => {
    expect(Math.abs(convert(1, from, to) / expected - 1)).toBeLessThan(relative);
  });
  it("455 N m are 335.5908 lbf ft (PH-17f)", () => expect(convert(455, "Nm", "lb·ft")).toBeCloseTo(335.59078, 4));
  // The trade's own: 1 lb/min is 7.56 g/s, 10 lb/h is 1.26 g/s (common practice, no published source).
  it("mass flow of the trade", () => {
    expect(convert(1, "lb/min", "g/s")).toBeCloseTo(7.56, 2);
    expect(convert(10, "lb/h", "g/s")).toBeCloseTo(1.26, 2);
    expect(convert(36, "kg/h", "g/s")).toBeCloseTo(10, 12);
  });
  it("14.7 AFR is lambda 1, and lambda 0.8 an equivalence ratio of 1.25", () => {
    expect(convert(14.7, "AFR", "lambda")).toBeCloseTo(1, 14);
    expect(convert(0.8, "lambda", "equivalence ratio")).toBeCloseTo(1.25, 14);
    expect(convert(1.25, "equivalence ratio", "AFR")).toBeCloseTo(11.76, 12);
  });
  it("748 revolutions a mile are 464.8 a kilometre", () => expect(convert(748, "1/mi", "1/km")).toBeCloseTo(748 / 1.609344, 12));
});

describe("algebra", () => {
  const units = knownUnits();
  it("there and back is where it was, for every pair of one quantity", () => {
    for (const a of units)
      for (const b of units) {
        if (a.quantity !== b.quantity) continue;
        const there = convert(37.25, a, b);
        expect(Math.abs(convert(there, b, a) - 37.25)).toBeLessThan(1e-9);
      }
  });
  it("two steps are one step", () => {
    for (const a of units)
      for (const b of units)
        for (const c of units) {
          if (a.quantity !== b.quantity || b.quantity !== c.quantity) continue;
          const direct = convert(12.5, a, c);
          expect(Math.abs(convert(convert(12.5, a, b), b, c) - direct)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(direct)));
        }
  });
  it("knows sixty units and more, each under one symbol", () => {
    expect(units.length).toBeGreaterThan(60);
    expect(new Set(units.map((each) => each.symbol)).size).toBe(units.length);
    for (const each of units) expect(parseUnit(each.symbol)?.symbol).toBe(each.symbol);
  });
  it("refuses what measures something else", () => {
    expect(isConvertible("kPa", "°C")).toBe(false);
    expect(() => conversionOf("kPa", "rpm")).toThrow(RangeError);
    expect(() => convert(1, "furlong", "m")).toThrow(RangeError);
  });
  it("keeps NaN", () => expect(convert(Number.NaN, "psi", "kPa")).toBeNaN());
});

describe("spellings", () => {
  it.each([
    ["deg C", "°C"],
    ["degC", "°C"],
    ["°C", "°C"],
    ["Â°C", "°C"],
    ["ºC", "°C"],
    ["\uFFFDC", "°C"],
    ["Deg F", "°F"],
    ["c", "°C"],
    ["1/min", "rpm"],
    ["u/min", "rpm"],
    ["r/min", "rpm"],
    ["min-1", "rpm"],
    ["RPM", "rpm"],
    ["g/sec", "g/s"],
    ["GPS", "g/s"],
    ["kg/hr", "kg/h"],
    ["lbs/min", "lb/min"],
    ["lb/hr", "lb/h"],
    ["PSIA", "psi"],
    ["in Hg", "inHg"],
    ["inHg", "inHg"],
    ["in. Hg", "inHg"],
    ["mbar", "mbar"],
    ["HPA", "hPa"],
    ["KPA", "kPa"],
    ["kPa abs", "kPa"],
    ["km/h", "km/h"],
    ["KPH", "km/h"],
    ["MPH", "mph"],
    ["Volts", "V"],
    ["mV", "mV"],
    ["λ", "lambda"],
    ["Lambda", "lambda"],
    ["A/F", "AFR"],
    ["ft-lb", "lb·ft"],
    ["lb-ft", "lb·ft"],
    ["N·m", "Nm"],
    ["Nm", "Nm"],
    ["µs", "µs"],
    ["us", "µs"],
    ["msec", "ms"],
    ["%", "%"],
    ["percent", "%"],
    ["deg", "deg"],
    ["°", "deg"],
    ["°CA", "deg"],
    ["deg BTDC", "deg"],
    ["mm²", "mm²"],
    ["mm2", "mm²"],
    ["mm^2", "mm²"],
    ["g per cylinder", "g/cyl"],
    ["mg/stroke", "mg/cyl"],
    ["rev/mile", "1/mi"],
    ["1/km", "1/km"],
    ["psig", "psi gauge"],
    ["EQ ratio", "equivalence ratio"],
  ])("%s is %s", (text, symbol) => expect(parseUnit(text)?.symbol).toBe(symbol));
  it.each(["", "  ", "bananas", "5V ref"])("%j is no unit", (text) => expect(parseUnit(text)).toBeUndefined());
});
