import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isRole, type Role } from "../../core/tables/index.ts";
import { readTableSheet, withRole } from "./table-sheet.ts";
import { writeTableSheet } from "./write-table-sheet.ts";

const encode = (text: string): Uint8Array => new TextEncoder().encode(text);
const decode = (bytes: Uint8Array): string => new TextDecoder("utf-8", { ignoreBOM: true }).decode(bytes);
const read = (text: string) => readTableSheet("sheet.csv", encode(text));

const VE =
  "table,Volumetric efficiency\nrole,air.ve\nunit,%\nx,Engine speed,rpm\ny,Manifold absolute pressure,kPa\ndata,400,800,1200\n20,41.2,44.0,47.5\n30,43.0,46.1,50.2\n";

describe("reading", () => {
  it("a table", () => {
    const { table } = read(VE);
    expect(table.role).toBe("air.ve");
    expect([...table.x!.values]).toEqual([400, 800, 1200]);
    expect([...table.y!.values]).toEqual([20, 30]);
    expect([...table.cells]).toEqual([41.2, 44, 47.5, 43, 46.1, 50.2]);
    expect(table.format).toMatchObject({ unit: "%", scale: 1, offset: 0, decimals: 1 });
  });
  it("a curve in other units, cells and axis", () => {
    const { table } = read("table,Idle target\nrole,idle.target-speed\nunit,rpm\nx,Coolant temperature,degF\ndata,-40,32,212\n,1200,1000,650\n");
    expect([...table.x!.values].map((value) => Number(value.toFixed(9)))).toEqual([-40, 0, 100]);
    const meter = read("table,Meter\nrole,air.meter-curve\nunit,lb/min\nx,Frequency,kHz\ndata,1,2\n,0.1,1\n").table;
    expect(meter.cells[1]).toBeCloseTo(453.59237 / 60, 10);
    expect([...meter.x!.values]).toEqual([1000, 2000]);
  });
  it("full-load mixture written as lambda or AFR becomes an equivalence ratio", () => {
    const lambda = read("table,Full load\nrole,fuel.full-load-ratio\nunit,lambda\nx,Engine speed,rpm\ndata,1000,2000\n,0.8,1\n");
    expect([...lambda.table.cells]).toEqual([1.25, 1]);
    expect(decode(writeTableSheet(lambda, [1.25, 1 / 0.9]))).toContain("\n,0.8,0.9\n");
    const afr = read("table,Full load\nrole,fuel.full-load-ratio\nunit,AFR\nx,Engine speed,rpm\ndata,1000,2000\n,12.25,14.7\n");
    expect(afr.table.cells[0]).toBeCloseTo(1.2, 12);
  });
  it("a title with a comma, quoted or not", () => {
    expect(read("table,Spark, poor fuel\nunit,deg\nvalue,1\n").table.title).toBe("Spark, poor fuel");
    expect(read('table,"Spark, poor fuel"\nunit,deg\nvalue,1\n').table.title).toBe("Spark, poor fuel");
  });
  it("semicolons and decimal commas, CRLF, a byte-order mark", () => {
    const { table } = read("\uFEFFtable;Axle ratio\r\nrole;driveline.axle-ratio\r\nunit;-\r\nvalue;3,73\r\n");
    expect(table.cells[0]).toBe(3.73);
  });
  it("keys that mean nothing to us are kept", () =>
    expect(read(VE.replace("unit,%", "unit,%\nauthor,somebody\naddress,0x1234")).otherKeys).toEqual([
      ["author", "somebody"],
      ["address", "0x1234"],
    ]));
  it("a curve may be short of its last newline, a table may have trailing delimiters", () => {
    expect(read(VE.trimEnd()).table.cells).toHaveLength(6);
    expect(read(VE.replace(/$/gm, ",").replace(/^,$/gm, "")).table.cells).toHaveLength(6);
  });
});

describe("writing", () => {
  it("gives back every byte when nothing changes", () => {
    for (const text of [
      VE,
      VE.replaceAll("\n", "\r\n"),
      VE.trimEnd(),
      `\uFEFF${VE}`,
      VE.replace("unit,%", 'unit,%\nnote,"a, b"'),
      VE.replace("41.2", " 41.20 "),
    ]) {
      const sheet = read(text);
      expect(decode(writeTableSheet(sheet, sheet.table.cells))).toBe(text);
    }
  });
  it("changes the text of changed cells only, with the decimals that the column has", () => {
    const sheet = read(VE);
    const cells = Float64Array.from(sheet.table.cells);
    cells[1] = 45.678;
    expect(decode(writeTableSheet(sheet, cells))).toBe(VE.replace("44.0", "45.7"));
  });
  it("writes in the sheet's own unit", () => {
    const sheet = read("table,Flow\nrole,fuel.injector-flow\nunit,lb/h\nx,Manifold vacuum,kPa\ndata,0,40\n,36.893,38.671\n");
    const text = decode(
      writeTableSheet(
        sheet,
        sheet.table.cells.map((cell, i) => (i === 0 ? cell * 1.1 : cell)),
      ),
    );
    expect(text).toContain("\n,40.582,38.671\n");
  });
  it("refuses a wrong number of cells and cells that are no number", () => {
    const sheet = read(VE);
    expect(() => writeTableSheet(sheet, [1])).toThrow(RangeError);
    expect(() =>
      writeTableSheet(
        sheet,
        sheet.table.cells.map(() => Number.NaN),
      ),
    ).toThrow(RangeError);
  });
  it("read, write, read: the written cells, within half a step", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -500, max: 500, noNaN: true }), { minLength: 6, maxLength: 6 }),
        fc.constantFrom(
          ["%", "air.ve"],
          ["fraction", "air.ve"],
          ["deg", "spark.main"],
          ["psi", "trans.line-pressure"],
          ["inHg", "trans.line-pressure"],
          ["bar", "trans.line-pressure"],
        ),
        fc.integer({ min: 1, max: 5 }),
        (numbers, [unit, role], decimals) => {
          expect(isRole(role!)).toBe(true);
          const native = (value: number): string => value.toFixed(decimals);
          const text = `table,Any\nrole,${role}\nunit,${unit}\nx,a,\ny,b,\ndata,1,2,3\n1,${[0.5, 1.25, 2].map(native).join(",")}\n2,${[0.5, 1.25, 2].map(native).join(",")}\n`;
          const sheet = read(text);
          const { scale, offset } = sheet.table.format!;
          const wanted = Float64Array.from(numbers, (value) => value * scale + offset);
          const again = readTableSheet("sheet.csv", writeTableSheet(sheet, wanted));
          again.table.cells.forEach((cell, i) => {
            expect(Math.abs(cell - wanted[i]!)).toBeLessThanOrEqual(Math.abs(scale) * 0.5001 * 10 ** -decimals + 1e-9);
          });
          // A second writing of what was read changes nothing.
          expect(decode(writeTableSheet(again, again.table.cells))).toBe(decode(writeTableSheet(sheet, wanted)));
        },
      ),
      { numRuns: 200, seed: 3 },
    );
  });
});

describe("another role", () => {
  it("converts from the sheet's own numbers each time", () => {
    const sheet = read("table,Some pressure\nunit,psi\nx,Torque,lb-ft\ny,Gear,-\ndata,0,100\n1,50,100\n2,60,120\n");
    expect(sheet.table.role).toBeUndefined();
    expect([...sheet.table.cells]).toEqual([50, 100, 60, 120]);
    const line = withRole(withRole(sheet, "trans.line-pressure" as Role), "trans.line-pressure");
    expect(line.table.unit).toBe("kPa");
    expect(line.table.cells[0]).toBeCloseTo(344.7379, 4);
    expect(line.table.x!.values[1]).toBeCloseTo(135.5818, 4);
    expect(line.remarks).toEqual([]);
  });
});
