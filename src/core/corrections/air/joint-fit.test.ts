import { describe, expect, it } from "vitest";
import { type Random, seededRandom } from "../../../base/index.ts";
import { curve, grid, lookUp, lookUpCurve, type Table } from "../../tables/index.ts";
import { type AirSamples, fitAirTables } from "./joint-fit.ts";
import { curveRows, gridRows, rowTimes } from "./rows.ts";

const RPM = [500, 1000, 1500, 2000, 2500, 3000, 4000, 5000, 6000];
const KPA = [20, 30, 40, 50, 60, 70, 80, 90, 100];
const HZ = Array.from({ length: 20 }, (_, i) => 1500 + 500 * i);

/** An engine's filling: air of a cylinder a straight line over pressure, a hump over speed. */
const filling = (rpm: number, kpa: number): number => 80 * (1.12 - 9 / kpa) * (1 - ((rpm - 3800) / 6500) ** 2);
const meterGps = (hz: number): number => 1.2 * (hz / 1500) ** 3.2;
/** What another camshaft does: less at low speed and vacuum. */
const camLn = (rpm: number, kpa: number): number => -0.15 * (900 / rpm) * (60 / kpa) ** 0.5 + 0.03;
const tubeLn = (hz: number): number => 0.08 + 0.03 * Math.sin(hz / 2500);

const ve = grid(
  "air.ve",
  "%",
  RPM,
  KPA,
  KPA.map((kpa) => RPM.map((rpm) => filling(rpm, kpa))),
);
const meter = curve("air.meter-curve", "g/s", HZ, HZ.map(meterGps), "Hz");

interface Drive {
  readonly rpm: Float64Array;
  readonly kpa: Float64Array;
  readonly hz: Float64Array;
}

/** A warm drive below 3200 rpm with a few pulls to 5000. */
function drive(random: Random, n: number): Drive {
  const rpm = new Float64Array(n);
  const kpa = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const idle = i % 4 === 0;
    rpm[i] = idle ? 690 + 15 * random.normal() : i % 9 === 0 ? random.between(2500, 5000) : random.between(1000, 3200);
    kpa[i] = idle ? 38 + 2 * random.normal() : i % 9 === 0 ? random.between(85, 99) : random.between(25, 85);
  }
  // The meter's frequency follows from the air that the engine really draws.
  const hz = rpm.map((speed, i) => {
    const gps = (filling(speed, kpa[i]!) * Math.exp(camLn(speed, kpa[i]!)) * kpa[i]! * speed * 5.3) / (100 * 120 * 0.287 * 320);
    let [low, high] = [1000, 20000];
    for (let pass = 0; pass < 60; pass++) {
      const middle = (low + high) / 2;
      if (meterGps(middle) * Math.exp(tubeLn(middle)) < gps) low = middle;
      else high = middle;
    }
    return low;
  });
  return { rpm, kpa, hz };
}

function samplesOf(random: Random, driven: Drive, noise: number, planted = true): AirSamples {
  const n = driven.rpm.length;
  const share = planted ? 1 : 0;
  const switchRpm = 3500;
  const usesMeter = driven.rpm.map((rpm) => (rpm > switchRpm ? 1 : 0));
  // Residuals against the controller's straight lines between breakpoints, of an engine that bends between them.
  const v = driven.rpm.map((rpm, i) =>
    Math.log((filling(rpm, driven.kpa[i]!) * Math.exp(share * camLn(rpm, driven.kpa[i]!))) / lookUp(ve, rpm, driven.kpa[i]!)),
  );
  const m = driven.hz.map((hz) => Math.log((meterGps(hz) * Math.exp(share * tubeLn(hz))) / lookUpCurve(meter, hz)));
  return {
    n,
    ve: { table: ve, rows: gridRows(ve, driven.rpm, driven.kpa) },
    meter: { table: meter, rows: curveRows(meter, driven.hz) },
    fuelLn: usesMeter.map((uses, i) => (uses === 1 ? m[i]! : v[i]!) + noise * random.normal()),
    modelLn: v.map((value, i) => value - m[i]! + 2 * noise * random.normal()),
    usesMeter,
    weight: new Float64Array(n).fill(1),
    nuisances: [],
    starts: [0],
  };
}

describe("reading a table smoothly", () => {
  const at = { rpm: Float64Array.of(740, 1260, 3500, 5200), kpa: Float64Array.of(33, 57, 64, 91) };

  it("gives back an engine that bends between breakpoints, where straight lines miss it", () => {
    const { bendLn } = gridRows(ve, at.rpm, at.kpa);
    at.rpm.forEach((rpm, i) => {
      const trueLn = Math.log(filling(rpm, at.kpa[i]!));
      const straightLn = Math.log(lookUp(ve, rpm, at.kpa[i]!));
      // The hump is a parabola over speed, read over its logarithm, on uneven breakpoints and through the ends: less than a thousandth remains.
      expect(Math.abs(straightLn - bendLn[i]! - trueLn)).toBeLessThan(1e-3);
    });
  });

  it("follows a meter's power law exactly, where straight lines are percents off", () => {
    const hz = Float64Array.of(1700, 2250, 6240);
    const { bendLn } = curveRows(meter, hz);
    hz.forEach((at, i) => {
      expect(Math.abs(Math.log(lookUpCurve(meter, at)) - bendLn[i]! - Math.log(meterGps(at)))).toBeLessThan(1e-9);
    });
    expect(bendLn[1]).toBeGreaterThan(0.02);
  });

  it("leaves a level correction a level one: weights sum to one everywhere, also a little beyond the axes", () => {
    const rows = gridRows(ve, Float64Array.of(300, 740, 6400), Float64Array.of(19, 33, 101));
    for (let i = 0; i < 3; i++) expect(rowTimes(rows, i, new Float64Array(81).fill(0.07))).toBeCloseTo(0.07, 12);
  });

  it("says nothing of a sample that is not known", () => {
    expect(gridRows(ve, Float64Array.of(Number.NaN), Float64Array.of(50)).bendLn[0]).toBeNaN();
  });

  it("takes nothing from where the controller holds the end of an axis and the engine goes on", () => {
    // The air of a cylinder is nearly a straight line over pressure that begins well above zero: below the lowest row filling falls fast.
    const lowest = KPA[0]!;
    const { bendLn } = gridRows(
      ve,
      Float64Array.of(1800, 1800, 1800),
      Float64Array.of(lowest, lowest - 0.1 * (KPA[1]! - lowest), lowest - 0.4 * (KPA[1]! - lowest)),
    );
    expect(bendLn[0]).not.toBeNaN();
    expect(bendLn[1]).not.toBeNaN();
    expect(bendLn[2]).toBeNaN();
    expect(curveRows(meter, Float64Array.of(HZ[0]! - 0.4 * (HZ[1]! - HZ[0]!))).bendLn[0]).toBeNaN();
  });
});

describe("the joint fit", () => {
  const random = seededRandom(7);
  const driven = drive(random, 1500);
  const samples = samplesOf(random, driven, 0.006);
  const fit = fitAirTables(samples);
  const seen = (k: number): boolean => fit.veCoverage[k]! > 5;
  const errorOf = (k: number): number => fit.veLn[k]! - camLn(RPM[k % RPM.length]!, KPA[Math.floor(k / RPM.length)]!);

  it("finds both tables from one drive, each where the other gave the fuel too", () => {
    let squares = 0;
    let cells = 0;
    ve.cells.forEach((_, k) => {
      if (!seen(k)) return;
      squares += errorOf(k) ** 2;
      cells++;
    });
    expect(cells).toBeGreaterThan(20);
    expect(Math.sqrt(squares / cells)).toBeLessThan(0.01);
    HZ.forEach((hz, k) => {
      if (fit.meterCoverage[k]! > 5) expect(Math.abs(fit.meterLn[k]! - tubeLn(hz))).toBeLessThan(0.012);
    });
  });

  it("finds them in a table of many cells as well, whose strengths are judged on every other breakpoint", () => {
    const speeds = Array.from({ length: 30 }, (_, k) => 500 + 190 * k);
    const pressures = Array.from({ length: 28 }, (_, k) => 20 + 3 * k);
    const fine = grid(
      "air.ve",
      "%",
      speeds,
      pressures,
      pressures.map((kpa) => speeds.map((rpm) => filling(rpm, kpa))),
    );
    const trueLn = driven.rpm.map((rpm, i) =>
      Math.log((filling(rpm, driven.kpa[i]!) * Math.exp(camLn(rpm, driven.kpa[i]!))) / lookUp(fine, rpm, driven.kpa[i]!)),
    );
    const many = fitAirTables({
      ...samples,
      ve: { table: fine, rows: gridRows(fine, driven.rpm, driven.kpa) },
      fuelLn: samples.usesMeter.map((uses, i) => (uses === 1 ? samples.fuelLn[i]! : trueLn[i]! + 0.006 * random.normal())),
      modelLn: samples.modelLn.map(() => Number.NaN),
    });
    let squares = 0;
    let cells = 0;
    many.veLn.forEach((ln, k) => {
      if (many.veCoverage[k]! < 3) return;
      squares += (ln - camLn(speeds[k % speeds.length]!, pressures[Math.floor(k / speeds.length)]!)) ** 2;
      cells++;
    });
    expect(cells).toBeGreaterThan(50);
    expect(Math.sqrt(squares / cells)).toBeLessThan(0.01);
  });

  it("doubts the more the farther it was from being there", () => {
    const far = fit.veSd[0 * RPM.length + 8]!;
    const near = fit.veSd[3 * RPM.length + 3]!;
    expect(far).toBeGreaterThan(2 * near);
  });

  it("changes next to nothing where nothing is wrong", () => {
    const sound = fitAirTables(samplesOf(seededRandom(8), driven, 0.006, false));
    sound.veLn.forEach((ln, k) => {
      if (sound.veCoverage[k]! > 5) expect(Math.abs(ln)).toBeLessThan(0.01);
    });
  });

  it("does not care for the order of samples", () => {
    const backwards = <T extends Float64Array>(values: T): Float64Array => Float64Array.from(values).reverse();
    const reversed: AirSamples = {
      ...samples,
      ve: { table: ve, rows: gridRows(ve, backwards(driven.rpm), backwards(driven.kpa)) },
      meter: { table: meter, rows: curveRows(meter, backwards(driven.hz)) },
      fuelLn: backwards(samples.fuelLn),
      modelLn: backwards(samples.modelLn),
      usesMeter: backwards(samples.usesMeter),
    };
    const again = fitAirTables(reversed);
    // Sums run in another order, and the search for strengths stops within its tolerance.
    again.veLn.forEach((ln, k) => {
      expect(Math.abs(ln - fit.veLn[k]!)).toBeLessThan(1e-4);
    });
  });

  it("is not moved by a tenth of wild samples", () => {
    const wild = seededRandom(9);
    const dirty = { ...samples, fuelLn: samples.fuelLn.map((v, i) => (i % 10 === 3 ? v + 0.3 + 0.1 * wild.normal() : v)) };
    const again = fitAirTables(dirty);
    let squares = 0;
    let cells = 0;
    again.veLn.forEach((ln, k) => {
      if (!seen(k)) return;
      squares += (ln - fit.veLn[k]!) ** 2;
      cells++;
    });
    expect(Math.sqrt(squares / cells)).toBeLessThan(0.006);
  });

  it("predicts the residual of samples it did not see", () => {
    const other = drive(seededRandom(10), 400);
    const held = samplesOf(seededRandom(11), other, 0);
    const predicted = held.fuelLn.map((_, i) => rowTimes(held.ve!.rows, i, fit.veLn));
    const misses = held.fuelLn
      .map((ln, i) => (held.usesMeter[i] === 0 ? Math.abs(ln + held.ve!.rows.bendLn[i]! - predicted[i]!) : Number.NaN))
      .filter((miss) => !Number.isNaN(miss))
      .sort();
    expect(misses[Math.floor(0.9 * misses.length)]!).toBeLessThan(0.012);
  });
});

describe("either air model alone", () => {
  it("fits VE without a meter, and the meter's curve without a VE table", () => {
    const random = seededRandom(12);
    const driven = drive(random, 800);
    const both = samplesOf(random, driven, 0.006);
    const alone = fitAirTables({ ...both, meter: undefined, modelLn: both.modelLn.map(() => Number.NaN), usesMeter: both.usesMeter.map(() => 0) });
    expect(alone.meterLn.length).toBe(0);
    expect(alone.veLn.length).toBe(81);
    const meterOnly = fitAirTables({ ...both, ve: undefined, modelLn: both.modelLn.map(() => Number.NaN) });
    expect(meterOnly.veLn.length).toBe(0);
    const k = HZ.indexOf(6000);
    expect(Math.abs(meterOnly.meterLn[k]! - tubeLn(6000))).toBeLessThan(0.05);
  });
});

const tables: readonly Table[] = [ve, meter];
it("leaves its inputs as they were", () => {
  const copies = tables.map((table) => Float64Array.from(table.cells));
  fitAirTables(samplesOf(seededRandom(13), drive(seededRandom(13), 300), 0.01));
  tables.forEach((table, k) => void expect(table.cells).toEqual(copies[k]));
});

describe("what may not matter to the fit", () => {
  const random = seededRandom(21);
  const driven = drive(random, 400);
  const samples = samplesOf(random, driven, 0.006);
  const given = {
    strengths: { veSd: 0.06, veRangeX: 0.35, veRangeY: 0.5, meterSd: 0.04, meterRange: 0.4 },
    noise: { fuelSd: 0.006, modelSd: 0.012, fuelPerIndependent: 2, modelPerIndependent: 2 },
  };
  const fit = fitAirTables(samples, given);
  const twice = <T extends Float64Array>(values: T): Float64Array => Float64Array.from([...values, ...values]);
  const rowsTwice = <T extends { unknowns: Int32Array; coefficients: Float64Array; bendLn: Float64Array }>(rows: T): T => ({
    ...rows,
    unknowns: Int32Array.from([...rows.unknowns, ...rows.unknowns]),
    coefficients: twice(rows.coefficients),
    bendLn: twice(rows.bendLn),
  });
  const expectSame = (other: typeof fit): void => {
    for (const name of ["veLn", "veSd", "meterLn", "meterSd"] as const)
      other[name].forEach((value, k) => {
        expect(Math.abs(value - fit[name][k]!)).toBeLessThan(1e-9 * Math.max(1, Math.abs(fit[name][k]!)));
      });
  };

  it("every sample twice at half the weight", () => {
    expectSame(
      fitAirTables(
        {
          ...samples,
          n: 2 * samples.n,
          ve: { table: ve, rows: rowsTwice(samples.ve!.rows) },
          meter: { table: meter, rows: rowsTwice(samples.meter!.rows) },
          fuelLn: twice(samples.fuelLn),
          modelLn: twice(samples.modelLn),
          usesMeter: twice(samples.usesMeter),
          weight: twice(samples.weight).map((weight) => weight / 2),
          starts: [0, samples.n],
        },
        given,
      ),
    );
  });

  it("the order of samples, where strengths and noise are given", () => {
    const backwards = <T extends Float64Array>(values: T): Float64Array => Float64Array.from(values).reverse();
    expectSame(
      fitAirTables(
        {
          ...samples,
          ve: { table: ve, rows: gridRows(ve, backwards(driven.rpm), backwards(driven.kpa)) },
          meter: { table: meter, rows: curveRows(meter, backwards(driven.hz)) },
          fuelLn: backwards(samples.fuelLn),
          modelLn: backwards(samples.modelLn),
          usesMeter: backwards(samples.usesMeter),
        },
        given,
      ),
    );
  });

  it("the units of tables and axes", () => {
    const fraction: Table = { ...ve, unit: "fraction", cells: ve.cells.map((cell) => cell / 100) };
    const kilohertz = curve(
      "air.meter-curve",
      "kg/h",
      HZ.map((hz) => hz / 1000),
      HZ.map((hz) => 3.6 * meterGps(hz)),
      "kHz",
    );
    expectSame(
      fitAirTables(
        {
          ...samples,
          ve: { table: fraction, rows: gridRows(fraction, driven.rpm, driven.kpa) },
          meter: {
            table: kilohertz,
            rows: curveRows(
              kilohertz,
              driven.hz.map((hz) => hz / 1000),
            ),
          },
        },
        given,
      ),
    );
  });
});
