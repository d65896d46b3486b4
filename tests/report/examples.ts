import type { Intake, Result } from "../../src/core/result/index.ts";
import { curve, grid, single, type Table } from "../../src/core/tables/index.ts";
import type { ReportModel } from "../../src/report/index.ts";

/** A vehicle that exists nowhere, with something of everything a report can show. */
const RPM = [500, 1000, 2000, 3000, 4500, 6500];
const KPA = [20, 40, 60, 80, 100];

function veTable(factor: (rpm: number, kpa: number) => number): Table {
  const rows = KPA.map((kpa) => RPM.map((rpm) => Math.round(factor(rpm, kpa) * (55 + 25 * Math.sin(rpm / 2200) + kpa / 5) * 100) / 100));
  const made = grid("air.ve", "%", RPM, KPA, rows);
  return {
    ...made,
    title: "Cylinder filling",
    x: { name: "Engine speed", unit: "rpm", values: made.x!.values },
    y: { name: "Manifold absolute pressure", unit: "kPa", values: made.y!.values },
  };
}

function named(table: Table, title: string, x?: [string, string], y?: [string, string]): Table {
  return {
    ...table,
    title,
    x: table.x && { name: x?.[0] ?? "", unit: x?.[1] ?? "", values: table.x.values },
    y: table.y && { name: y?.[0] ?? "", unit: y?.[1] ?? "", values: table.y.values },
  };
}

const lossAngle: [string, string] = ["Spark retard from best", "deg"];
const shiftAxes = [
  ["Shift", "-"],
  ["Engine torque", "Nm"],
] as const satisfies readonly [string, string][];
const shiftCut = (k: number): Table =>
  named(
    grid(
      "torque.shift-reduction",
      "fraction",
      [1, 2, 3],
      [0, 150, 300],
      [
        [0.1, 0.08, 0.06],
        [0.2, 0.18, 0.15],
        [0.3, 0.28, 0.24],
      ].map((row) => row.map((cell) => cell * k)),
    ),
    "Shift torque cut",
    shiftAxes[0],
    shiftAxes[1],
  );
const loss = (k: number): Table =>
  named(
    curve(
      "torque.spark-loss",
      "fraction",
      [0, 10, 20, 30],
      [0, 0.05, 0.18, 0.4].map((cell) => cell * k),
    ),
    "Torque lost to retard",
    lossAngle,
  );
const meter = (k: number): Table =>
  named(
    curve(
      "air.meter-curve",
      "g/s",
      [1500, 4000, 8000, 12000],
      [2, 18, 120, 480].map((cell) => cell * k),
    ),
    "Air meter curve",
    ["Airflow meter frequency", "Hz"],
  );

export const INTAKE: Intake = {
  vehicle: { label: "three-box saloon, 2.8 L inline five", year: 1999, massKg: 1510, transmission: "4-speed automatic", axleRatio: 3.9 },
  engine: { displacementL: 2.8, cylinders: 5, compressionRatio: 10, camChanged: true, camDurationDeg: 228, camLiftMm: 10.5, camLobeSeparationDeg: 112 },
  fuel: { ethanolPercentVolume: 10, railPressureKpa: 380, railReference: "manifold" },
  complaint: "Hunts at idle after the last visit.",
  changes: ["camshaft"],
  ambient: { pressureKpa: 98.6, temperatureC: 24, relativeHumidityPercent: 40 },
  sensors: { widebandFitted: true, airMeterFitted: true },
};

const timeS = Float64Array.from({ length: 1800 }, (_, i) => i * 0.1);

export const RESULT: Result = {
  schema: "fettle.result/1",
  edits: [
    {
      table: "Cylinder filling",
      role: "air.ve",
      kind: "scaled",
      by: 1.06,
      cells: 30,
      region: [
        [0, 0],
        [4, 5],
      ],
      summary: "all 30 cells times 1.06, rounded to 0.01",
    },
    { table: "Torque lost to retard", role: "torque.spark-loss", kind: "zeroed", by: 0, cells: 4, summary: "all 4 cells set to 0" },
    { table: "Shift torque cut", role: "torque.shift-reduction", kind: "unchanged", cells: 9, summary: "all 9 cells unchanged" },
    { table: "Road speed limit", role: "limit.vehicle-speed", kind: "scaled", by: 1.2, cells: 1, summary: "200 km/h became 240 km/h, times 1.2" },
  ],
  findings: [
    {
      check: "fuel.long-trim-off",
      severity: "note",
      tables: ["Long trim"],
      summary: "long-term fuel trim is off",
      because: ["the switch holds 0"],
      do: "Switch it on before handing over.",
    },
    {
      check: "torque.reduction-without-effect",
      severity: "stop",
      tables: ["Shift torque cut", "Torque lost to retard"],
      summary: "the shift asks for less torque and nothing is taken away",
      because: ["6 to 30 % is asked for", "the loss table is zero throughout"],
      do: "Put the factory's loss table back.",
    },
    {
      check: "spark.above-factory",
      severity: "watch",
      tables: ["Cylinder filling"],
      summary: "spark lies 3° above the factory's",
      because: ["12 cells"],
      do: "Watch knock there.",
    },
  ],
  suspects: [
    {
      fault: "air.throttle-overflow",
      probability: 0.82,
      for: [{ text: "idle takes 4.3 g/s more than commanded", recording: "recordings/idle.csv", fromS: 60, toS: 110 }],
      against: [{ text: "the throttle looks clean" }],
      next: "Look into the throttle bore (about 30 min)",
      sizes: [{ name: "surplus opening", unit: "mm²", value: 17.8, low: 15.4, high: 19.6 }],
    },
    { fault: "healthy", probability: 0.15, for: [], against: [] },
    { fault: "air.meter-low", probability: 0.03, for: [], against: [] },
  ],
  corrections: [
    {
      role: "air.ve",
      sheet: "corrections/air.ve.csv",
      cellsChanged: 12,
      cellsCovered: 15,
      meanAbsChangePercent: 3.4,
      confidence: "corrections/air.ve.confidence.csv",
      summary: "the engine breathes less below 2000 rpm than the table says",
      limited: ["one cell held to a step of 15 %"],
    },
    {
      role: "air.meter-curve",
      sheet: "corrections/held/air.meter-curve.csv",
      cellsChanged: 3,
      cellsCovered: 3,
      meanAbsChangePercent: 2,
      confidence: "corrections/held/air.meter-curve.confidence.csv",
      heldBecause: "air.throttle-overflow",
    },
  ],
  pulls: [
    {
      file: "pulls/one.csv",
      standard: "SAE J1349",
      factor: 1.013,
      peakPowerKw: 131.2,
      peakPowerRpm: 5900,
      peakTorqueNm: 245,
      peakTorqueRpm: 4300,
      smoothing: "local quadratic over ±0.7 s",
      ambient: { pressureKpa: 98.6, temperatureC: 24, relativeHumidityPercent: 40, source: "sweep file" },
    },
    {
      file: "pulls/two.csv",
      standard: "SAE J1349",
      factor: 1.013,
      peakPowerKw: 132.4,
      peakPowerRpm: 5850,
      peakTorqueNm: 247,
      peakTorqueRpm: 4250,
      remarks: ["two spikes bridged"],
    },
  ],
  recordings: [
    {
      file: "recordings/idle.csv",
      rows: 1800,
      durationS: 179.9,
      signals: { rpm: "Engine RPM [rpm]", map: "MAP [kPa]" },
      unrecognised: ["Oil temp [degC]"],
      repairs: ["last row cut off after 18 of 27 fields: left out"],
    },
  ],
  couldNot: ["injector dead time was not judged: no recording holds battery voltage"],
};

function sweepOf(file: string, k: number): NonNullable<ReportModel["sweeps"]>[number] {
  const rpm = Float64Array.from({ length: 80 }, (_, i) => 2000 + i * 50);
  const torqueNm = rpm.map((at) => k * (200 + 46 * Math.sin(((at - 2000) / 4600) * Math.PI)));
  return {
    file,
    rpm,
    torqueNm,
    powerKw: torqueNm.map((nm, i) => (nm * rpm[i]! * Math.PI) / 30000),
    lambda: rpm.map(() => 0.87),
    lambdaTarget: rpm.map(() => 0.86),
    knockRetardDeg: rpm.map((at) => (at > 4000 && at < 4100 ? 1.5 : 0)),
  };
}

export const MODEL: ReportModel = {
  result: RESULT,
  intake: INTAKE,
  about: { date: "3 May 2026", by: "bench one", job: "17", revision: "2", tool: "Fettle" },
  files: [
    { path: "recordings/idle.csv", sha256: "ab".repeat(32), bytes: 123456, direction: "read" },
    { path: "corrections/air.ve.csv", sha256: "cd".repeat(32), direction: "written" },
  ],
  asReceived: [veTable(() => 1.06), loss(0), shiftCut(1), meter(1), single("limit.vehicle-speed", "km/h", 240)],
  reference: [veTable(() => 1), loss(1), shiftCut(1), meter(1)],
  corrections: [
    {
      role: "air.ve",
      before: veTable(() => 1.06),
      after: veTable((rpm, kpa) => (rpm <= 2000 && kpa <= 80 ? 1 : 1.06)),
      deviationPercent: KPA.flatMap((kpa) => RPM.map((rpm) => (rpm > 3000 ? Number.NaN : rpm + kpa < 2000 ? 0.6 : 2))),
    },
    { role: "air.meter-curve", before: meter(1), after: meter(0.97) },
  ],
  traces: [
    {
      file: "recordings/idle.csv",
      timeS,
      columns: [
        { signal: "rpm", values: timeS.map((s) => 800 + 40 * Math.sin(s)) },
        { signal: "map", values: timeS.map((s, i) => (i % 3 === 0 ? 42 + Math.sin(s / 3) : Number.NaN)) },
        { signal: "maf", values: timeS.map((s) => 9 + 0.2 * Math.sin(s / 2)) },
      ],
      moments: [
        { kind: "warm-idle", fromS: 20, toS: 150 },
        { kind: "tip-in", fromS: 152, toS: 154 },
      ],
    },
  ],
  stories: [
    {
      fault: "air.throttle-overflow",
      title: "Air beyond the throttle's position against airflow",
      x: { name: "Airflow", unit: "g/s" },
      y: { name: "Air beyond the throttle's position", unit: "mm²" },
      points: { x: [8, 12, 25, 40], y: [17.5, 18.4, 19, 24], sd: [1, 1.2, 3, 6] },
      curves: [{ fault: "air.throttle-overflow", x: [8, 40], y: [17.8, 17.8], low: [15.4, 15.4], high: [19.6, 19.6] }],
    },
  ],
  coverage: [
    {
      title: "Where the engine was",
      x: { name: "Engine speed", unit: "rpm", values: RPM },
      y: { name: "Manifold absolute pressure", unit: "kPa", values: KPA },
      dwellS: KPA.flatMap((kpa) => RPM.map((rpm) => (rpm < 3000 ? kpa / 4 : 0))),
      next: [{ x: 3000, y: 60 }],
    },
  ],
  sweeps: [sweepOf("pulls/one.csv", 0.99), sweepOf("pulls/two.csv", 1)],
  tests: [{ title: "Look into the throttle bore", how: "Duct off, engine off.", minutes: 30, cautions: ["Key out while hands are near the plate."] }],
  changes: [{ table: "Cylinder filling", role: "air.ve", what: "12 cells", reason: "fitted to the drive of 3 May", by: "bench one", on: "3 May 2026" }],
};
