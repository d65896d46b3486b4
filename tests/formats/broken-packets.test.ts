import { describe, expect, it } from "vitest";
import { UnusableInput } from "../../src/base/index.ts";
import type { Packet } from "../../src/core/job/packet.ts";
import { type PacketFile, readPacket } from "../../src/formats/index.ts";
import { AXLE_SHEET, file, INTAKE, RECORDING, recordingLines, soundPacket, VE_SHEET } from "./packet-fixture.ts";

const RECORDING_PATH = "recordings/road.csv";
const VE_PATH = "calibration/as-received/ve.csv";
const AXLE_PATH = "calibration/as-received/axle.csv";

function withFiles(...changed: readonly PacketFile[]): PacketFile[] {
  const packet = soundPacket();
  for (const each of changed) packet.set(each.path, each);
  return [...packet.values()];
}

function without(...gone: readonly RegExp[]): PacketFile[] {
  return [...soundPacket().values()].filter(({ path }) => !gone.some((pattern) => pattern.test(path)));
}

const intake = (text: string): PacketFile[] => withFiles(file("intake.json", text));
const recording = (text: string | Uint8Array): PacketFile[] => withFiles(file(RECORDING_PATH, text));
const ve = (text: string | Uint8Array): PacketFile[] => withFiles(file(VE_PATH, text));
const engine = (fields: string): PacketFile[] => intake(`{\n "engine": {\n  ${fields}\n }\n}`);
const PNG = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82);
const noise = (n: number): Uint8Array => Uint8Array.from({ length: n }, (_, i) => (i * 7919 + (i >> 3) * 31) & 255);

/** Packets that cannot be used: what is broken, the files, the one line that a person reads. */
const UNUSABLE: readonly (readonly [string, PacketFile[], RegExp])[] = [
  ["no intake sheet", without(/^intake/), /^intake\.json: the file is missing\. Add it with at least engine\.displacementL and engine\.cylinders\.$/],
  ["empty intake sheet", intake(""), /^intake\.json: the file is empty\./],
  ["blank intake sheet", intake("  \n \n"), /^intake\.json: the file holds nothing but blanks\./],
  ["intake cut in the middle", intake(INTAKE.slice(0, 60)), /^intake\.json, line \d+(, column \d+)?: this is not valid JSON/],
  ["intake with a missing comma", intake('{\n "a": 1\n "engine": {}\n}'), /^intake\.json, line 3, column \d+: this is not valid JSON/],
  ["intake that is a list", intake("[1, 2]"), /^intake\.json: expected an object in braces\./],
  ["intake that is a picture", withFiles({ path: "intake.json", bytes: PNG }), /^intake\.json: expected a text file, found a PNG image\./],
  [
    "no engine",
    intake('{ "vehicle": {} }'),
    /^intake\.json: engine: expected an object in braces, found nothing\. Add "engine" with displacementL and cylinders\.$/,
  ],
  [
    "no displacement",
    engine('"cylinders": 4'),
    /^intake\.json, line 2: engine\.displacementL: expected a number, found nothing\. Give the displacement in litres/,
  ],
  ["no cylinders", engine('"displacementL": 2'), /engine\.cylinders: expected a number, found nothing\. Give the number of cylinders/],
  ["zero displacement", engine('"displacementL": 0, "cylinders": 4'), /^intake\.json, line 3: engine\.displacementL: expected a number above 0, found 0\./],
  ["negative displacement", engine('"displacementL": -2, "cylinders": 4'), /engine\.displacementL: expected a number above 0, found -2/],
  [
    "displacement in cc",
    engine('"displacementL": 1998, "cylinders": 4'),
    /engine\.displacementL: expected a number of at most 30, found 1998\. Give the displacement in litres/,
  ],
  ["displacement as text", engine('"displacementL": "2.0", "cylinders": 4'), /engine\.displacementL: expected a number, found "2\.0"/],
  ["half a cylinder", engine('"displacementL": 2, "cylinders": 4.5'), /engine\.cylinders: expected a whole number, found 4\.5/],
  ["no cylinder", engine('"displacementL": 2, "cylinders": 0'), /engine\.cylinders: expected a number of at least 1, found 0/],
  [
    "a truth value that is a word",
    engine('"displacementL": 2, "cylinders": 4,\n  "boosted": "yes"'),
    /^intake\.json, line 4: engine\.boosted: expected true or false, found "yes"/,
  ],
  [
    "rail reference of another kind",
    intake('{ "engine": { "displacementL": 2, "cylinders": 4 },\n "fuel": { "railReference": "vacuum" } }'),
    /^intake\.json, line 2: fuel\.railReference: expected "atmosphere" or "manifold", found "vacuum"/,
  ],
  [
    "gear ratios as text",
    intake('{ "engine": { "displacementL": 2, "cylinders": 4 }, "vehicle": { "gearRatios": [3.1, "two"] } }'),
    /vehicle\.gearRatios\.1: expected a number, found "two"/,
  ],
  [
    "more than all ethanol",
    intake('{ "engine": { "displacementL": 2, "cylinders": 4 }, "fuel": { "ethanolPercentVolume": 850 } }'),
    /fuel\.ethanolPercentVolume: expected a number of at most 100, found 850/,
  ],
  ["neither tables nor recordings", without(/^calibration/, /^recordings/), /found neither table sheets .* nor recordings nor pulls/],
  ["only the factory's tables", without(/as-received/, /^recordings/), /found neither table sheets/],

  ["a recording that is a picture", recording(PNG), /^recordings\/road\.csv: expected a text file, found a PNG image\. Export the data as CSV text/],
  ["a recording that is a workbook", recording(Uint8Array.of(0x50, 0x4b, 3, 4, 20, 0, 6, 0)), /found a zip archive or a spreadsheet workbook/],
  ["a recording of raw bytes", recording(noise(5000)), /^recordings\/road\.csv: expected a text file, found binary data at byte \d+/],
  ["a recording of zeros", recording(new Uint8Array(4096)), /found binary data at byte 0/],
  ["an empty recording", recording(""), /^recordings\/road\.csv: the file is empty\. Export it again, or take it out of the packet\.$/],
  ["a recording of blank lines", recording("\n\n\r\n  \n"), /^recordings\/road\.csv: the file holds nothing but blanks\./],
  ["a recording with a header only", recording(`${recordingLines()[0]}\n`), /^recordings\/road\.csv: found no row of numbers in 1 line\. Record it again/],
  ["a recording with header and units only", recording("Time,RPM,MAP\ns,rpm,kPa\n"), /found no row of numbers in 2 lines/],
  ["a recording that is a letter", recording("Dear friend,\nthe car runs badly, see below.\nYours, the owner\n"), /found no row of numbers/],
  ["a recording that is a web page", recording("<html>\n<body>\n<p>Not found, sorry</p>\n</body>\n</html>\n"), /found no row of numbers/],
  ["an empty sweep", withFiles(file("pulls/one.csv", "")), /^pulls\/one\.csv: the file is empty\./],

  [
    "a letter in a cell",
    ve(VE_SHEET.replace("41.2", "4l.2")),
    /^calibration\/as-received\/ve\.csv, line 7, column 2: expected a number, found "4l\.2"\. Correct the cell\.$/,
  ],
  ["an empty cell", ve(VE_SHEET.replace("46.1", "")), /ve\.csv, line 8, column 3: expected a number, found an empty cell/],
  ["a row too short", ve(VE_SHEET.replace(",50.2", "")), /ve\.csv, line 8, column 4: expected 3 cells in the row, found 2\. Give every breakpoint one cell/],
  ["a row too long", ve(VE_SHEET.replace("50.2", "50.2,51")), /ve\.csv, line 8, column 5: expected 3 cells in the row, found 4/],
  ["an x axis that falls back", ve(VE_SHEET.replace("800,1200", "800,700")), /ve\.csv, line 6, column 4: the x axis must ascend, found 700 after 800/],
  ["an x axis that stands still", ve(VE_SHEET.replace("800,1200", "800,800")), /the x axis must ascend, found 800 after 800/],
  ["a y axis that falls back", ve(VE_SHEET.replace("\n30,", "\n10,")), /ve\.csv, line 8, column 1: the y axis must ascend, found 10 after 20/],
  ["a word on an axis", ve(VE_SHEET.replace("data,400", "data,idle")), /ve\.csv, line 6, column 2: expected a number for a breakpoint, found "idle"/],
  ["an infinite cell", ve(VE_SHEET.replace("41.2", "inf")), /line 7, column 2: expected a number, found "inf"/],
  ["a sheet cut before its data", ve(VE_SHEET.split("data")[0]!), /ve\.csv, line \d+: found neither a "data" line nor a "value" line/],
  ["a sheet cut after its breakpoints", ve(VE_SHEET.split("\n20,")[0]!), /ve\.csv, line 6: no row of cells under the breakpoints/],
  ["a sheet cut within a row", ve(VE_SHEET.slice(0, VE_SHEET.indexOf("50.2") - 1)), /ve\.csv, line 8, column 4: expected 3 cells in the row, found 2/],
  ["breakpoints missing", ve(VE_SHEET.replace("data,400,800,1200", "data")), /ve\.csv, line 6, column 2: the "data" line has no breakpoints/],
  ["an empty sheet", ve(""), /^calibration\/as-received\/ve\.csv: the file is empty/],
  ["a binary sheet", ve(noise(900)), /^calibration\/as-received\/ve\.csv: expected a text file, found binary data/],
  ["a sheet that is a recording", ve(RECORDING), /ve\.csv, line \d+: this is not a table sheet/],
  [
    "a value that is a word",
    withFiles(file(AXLE_PATH, AXLE_SHEET.replace("3.73", "three"))),
    /axle\.csv, line 4, column 2: expected a number after "value", found "three"/,
  ],
  [
    "a value left out",
    withFiles(file(AXLE_PATH, AXLE_SHEET.replace(",3.73", ""))),
    /axle\.csv, line 4, column 2: expected a number after "value", found an empty cell/,
  ],
  [
    "a value with a decimal comma",
    withFiles(file(AXLE_PATH, AXLE_SHEET.replace("3.73", "3,73"))),
    /axle\.csv, line 4, column 3: expected one number after "value", found 2\. Keep one number; a decimal mark is a dot/,
  ],
  ["two units", ve(VE_SHEET.replace("unit,%", "unit,%\nunit,fraction")), /ve\.csv, line 4, column 1: "unit" is given twice, first in line 3/],
  [
    "a curve whose values start with a number",
    ve("table,Meter\nunit,g/s\nx,Frequency,Hz\ndata,1,2,3\n0.5,1,2\n"),
    /ve\.csv, line 5, column 1: a curve's row of values starts with an empty cell, found "0\.5"/,
  ],
  [
    "a broken factory sheet",
    withFiles(file("calibration/reference/ve.csv", VE_SHEET.replace("47.5", "-"))),
    /^calibration\/reference\/ve\.csv, line 7, column 4: expected a number, found "-"/,
  ],
];

describe("packets that cannot be used", () => {
  for (const [what, files, line] of UNUSABLE)
    it(what, () => {
      let thrown: unknown;
      try {
        readPacket(files);
      } catch (error) {
        thrown = error;
      }
      expect(thrown).toBeInstanceOf(UnusableInput);
      const message = (thrown as UnusableInput).message;
      expect(message).toMatch(line);
      expect(message).not.toContain("\n");
    });
});

const rows = recordingLines();
const changed = (i: number, line: string): string => [...rows.slice(0, i), line, ...rows.slice(i + 1)].join("\n");
const said = (packet: Packet): string => packet.recordings.flatMap((each) => each.repairs).join("\n");
const count = (packet: Packet): number => packet.recordings[0]!.timeS.length;

/** Packets that are mended or used as far as they go: what is broken, the files, what is said, and what must be there. */
const REPAIRED: readonly (readonly [string, PacketFile[], RegExp, (packet: Packet) => void])[] = [
  ["the last row cut off", recording(RECORDING.slice(0, -9)), /last row cut off after 3 of 5 fields: left out/, (packet) => expect(count(packet)).toBe(39)],
  [
    "a row cut short",
    recording(changed(7, "0.6,960")),
    /1 row with too few fields, first in line 8 \(2 of 5\): left out/,
    (packet) => expect(count(packet)).toBe(39),
  ],
  [
    "a row with too many fields",
    recording(changed(7, `${rows[7]},1,2`)),
    /1 row with too many fields, first in line 8 \(7 instead of 5\): left out/,
    (packet) => expect(count(packet)).toBe(39),
  ],
  [
    "a header repeated in the middle",
    recording(changed(7, rows[0]!)),
    /1 line of words among the data, first line 8: left out/,
    (packet) => expect(count(packet)).toBe(39),
  ],
  [
    "a footer",
    recording(`${RECORDING}End of recording\n`),
    /1 line of words among the data, first line 42: left out/,
    (packet) => expect(count(packet)).toBe(40),
  ],
  [
    "two columns of one name",
    recording(RECORDING.replace("MAF [g/s]", "MAP [kPa]")),
    /two columns are named "MAP \[kPa\]": the later one is kept as "MAP \[kPa\] #2"/,
    (packet) => expect(packet.recordings[0]!.others).toHaveLength(1),
  ],
  [
    "rows swapped",
    recording([...rows.slice(0, 9), rows[10]!, rows[9]!, ...rows.slice(11)].join("\n")),
    /time runs backwards in 1 row, first at 0\.80 s: rows sorted by time/,
    (packet) => expect(packet.recordings[0]!.channels.map!.values[8]).toBe(38),
  ],
  [
    "a row twice",
    recording([...rows.slice(0, 9), rows[8]!, ...rows.slice(9)].join("\n")),
    /1 row repeats the time of the row before: joined with it/,
    (packet) => expect(count(packet)).toBe(40),
  ],
  [
    "the clock set back",
    recording([...rows, ...rows.slice(1)].join("\n")),
    /clock set back 1 time, first at 3\.90 s/,
    (packet) => expect(packet.recordings[0]!.timeS.at(-1)).toBeCloseTo(7.9, 6),
  ],
  ["a row without a time", recording(changed(5, ",940,34,4.8,81")), /1 row without a time: left out/, (packet) => expect(count(packet)).toBe(39)],
  [
    "a sample that is no number",
    recording(changed(5, "0.4,9x4,34,4.8,81")),
    /RPM \[rpm\]: 1 value not a number, such as "9x4": taken for no sample/,
    (packet) => expect(packet.recordings[0]!.channels.rpm!.values[4]).toBeNaN(),
  ],
  [
    "NaN and infinity",
    recording(changed(5, "0.4,NaN,Inf,4.8,81")),
    /MAP \[kPa\]: 1 value said to be infinite: taken for no sample/,
    (packet) => expect(packet.recordings[0]!.channels.rpm!.values[4]).toBeNaN(),
  ],
  [
    "no time column",
    recording(rows.map((line) => line.slice(line.indexOf(",") + 1)).join("\n")),
    /no time column and no rate in the file: a row every 0\.1 s assumed; times, rates and delays of this recording are not to be trusted/,
    (packet) => expect(count(packet)).toBe(40),
  ],
  [
    "no time column but a rate",
    recording(`Sample rate: 20 Hz\n${rows.map((line) => line.slice(line.indexOf(",") + 1)).join("\n")}`),
    /time counted from the rows at 20 a second, as "Sample rate: 20 Hz" says/,
    (packet) => expect(packet.recordings[0]!.timeS[1]).toBeCloseTo(0.05, 9),
  ],
  [
    "no line of names",
    recording(rows.slice(1).join("\n")),
    /no line of names above the data: no column can be recognised/,
    (packet) => expect(Object.keys(packet.recordings[0]!.channels)).toHaveLength(0),
  ],
  [
    "a unit that nobody knows",
    recording(RECORDING.replace("[kPa]", "[furlong]")),
    /MAP \[furlong\]: unit "furlong" is not known; taken as kPa/,
    (packet) => expect(packet.recordings[0]!.channels.map!.values[3]).toBe(33),
  ],
  [
    "a sensor that is dead",
    recording(rows.map((line, i) => (i === 0 ? line : line.replace(/^([^,]*,[^,]*),[^,]*/, "$1,98"))).join("\n")),
    /MAP \[kPa\]: never changes \(98 kPa in every row\); looks dead/,
    (packet) => expect(packet.recordings[0]!.channels.map).toBeDefined(),
  ],
  [
    "a channel that cannot be",
    recording(rows.map((line, i) => (i === 0 ? line : line.replace(/[^,]*$/, String(900 + i)))).join("\n")),
    /ECT \[degC\]: reads 901 to 940 °C, which engine coolant temperature cannot be; kept as unrecognised/,
    (packet) => expect(packet.recordings[0]!.channels.ect).toBeUndefined(),
  ],
  ["one column only", recording("RPM\n900\n910\n905\n902\n"), /no time column/, (packet) => expect(packet.recordings[0]!.channels.rpm!.values[1]).toBe(910)],
  ["a row of one sample only", recording(rows.slice(0, 2).join("\n")), /^$/, (packet) => expect(count(packet)).toBe(1)],
];

describe("packets that are mended, and say so", () => {
  for (const [what, files, words, holds] of REPAIRED)
    it(what, () => {
      const packet = readPacket(files);
      expect(said(packet)).toMatch(words);
      holds(packet);
    });
  it("the sound packet needs no mending", () => {
    const packet = readPacket([...soundPacket().values()]);
    expect(said(packet)).toBe("");
    expect(packet.problems).toEqual([]);
    expect(packet.remarks).toEqual([]);
  });
  it("no tables: recordings are read all the same", () => {
    const packet = readPacket(without(/^calibration/));
    expect(packet.asReceived).toBeUndefined();
    expect(packet.recordings).toHaveLength(1);
  });
  it("no recordings: tables are read all the same", () => expect(readPacket(without(/^recordings/)).asReceived!.tables).toHaveLength(3));
  it("two sheets of one role: the second is read without it", () => {
    const packet = readPacket(withFiles(file("calibration/as-received/ve-2.csv", VE_SHEET.replace("Volumetric efficiency", "Another"))));
    expect(packet.problems[0]!.what).toBe("role air.ve is already that of calibration/as-received/ve-2.csv");
    expect(packet.asReceived!.tables.filter((table) => table.role === "air.ve")).toHaveLength(1);
  });
  it("a role that nobody knows: one is proposed", () => {
    const packet = readPacket(ve(VE_SHEET.replace("air.ve", "air.volumetric")));
    expect(packet.asReceived!.byRole["air.ve"]?.title).toBe("Volumetric efficiency");
    expect(packet.remarks.join("\n")).toMatch(/line 2: "air\.volumetric" is not a role known here/);
  });
  it("a unit that does not fit the role is said", () =>
    expect(readPacket(ve(VE_SHEET.replace("unit,%", "unit,kPa"))).remarks.join("\n")).toMatch(
      /cells: unit "kPa" is pressure, % expected; numbers kept as they stand/,
    ));
  it("files that the contract does not name are left alone", () =>
    expect(readPacket(withFiles(file("recordings/notes.docx", PNG), file("calibration/as-received/.~lock", PNG))).recordings).toHaveLength(1));
});

describe("any prefix of a recording", () => {
  it("gives a recording or one clear line, never a crash", () => {
    for (let n = 0; n < RECORDING.length; n += 3) {
      try {
        readPacket(recording(RECORDING.slice(0, n)));
      } catch (error) {
        expect(error).toBeInstanceOf(UnusableInput);
      }
    }
  });
  it("and of a table sheet", () => {
    for (let n = 0; n < VE_SHEET.length; n++) {
      try {
        readPacket(ve(VE_SHEET.slice(0, n)));
      } catch (error) {
        expect(error).toBeInstanceOf(UnusableInput);
      }
    }
  });
});
