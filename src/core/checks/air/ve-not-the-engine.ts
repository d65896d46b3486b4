import { grid } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";
import { agreedFactor } from "../warm-idle.ts";
import { percent, plain, signedPercent } from "../words.ts";

/** Beyond what a meter, an injector or the charge temperature are off by in a sound vehicle. */
const LARGEST_LN = 0.15;

const ve = grid(
  "air.ve",
  "%",
  [400, 800, 1200],
  [30, 50, 70],
  [
    [55, 60, 62],
    [66, 69, 72],
    [74, 78, 80],
  ],
);
// 9.3 g/s at 800 rpm and 52 kPa in 5.3 L is a VE of 48 %, where the factory's table says 69 %.
const cammed = {
  recording: "idle.csv",
  seconds: 60,
  fromS: 0,
  toS: 60,
  rpm: 800,
  mapKpa: 52,
  coolantC: 90,
  meterGps: 9.3,
  fuelledGps: 9.4,
  speedDensityGps: 13.4,
  tableVeFraction: 0.69,
};

export default defineCheck({
  id: "air.ve-not-the-engine",
  title: "Idle VE in the table is not this engine's",
  severity: "fix",
  needs: ["air.ve"],
  why: "Metered air, speed and manifold pressure at warm idle give the engine's own volumetric efficiency. A table far from it belongs to another engine, most often to the one before the camshaft was changed: a cam with more overlap breathes much less at idle than the factory's table says.",
  do: "Correct the VE table from a drive before idle air and fuel are touched. If the manifold pressure sensor or the meter is in doubt, test that first: either can imitate this.",
  severityRule: "watch where the difference is under 25 %; fix from there",
  sources: ["common-practice", "PH-02"],
  examples: {
    fires: [{ title: "factory table, other camshaft", tables: [ve], warmIdle: cammed }],
    silent: [{ title: "table right within 4 %", tables: [ve], warmIdle: { ...cammed, meterGps: 13, fuelledGps: 12.9 } }],
  },
  lacks: ({ warmIdles }) =>
    warmIdles.some((w) => Number.isFinite(agreedFactor(w, w.speedDensityGps))) ? undefined : "no recording with a warm idle, manifold pressure and airflow",
  run({ warmIdles, table }) {
    const known = warmIdles.filter((w) => Number.isFinite(agreedFactor(w, w.speedDensityGps)));
    const factors = known.map((w) => Math.log(agreedFactor(w, w.speedDensityGps)));
    const worst = known[factors.findIndex((f) => Math.abs(f) === Math.max(...factors.map(Math.abs)))]!;
    // Every warm idle must say so: one recording alone may be of a sick sensor.
    if (!factors.every((f) => Math.abs(f) > LARGEST_LN && Math.sign(f) === Math.sign(factors[0]!))) return [];
    const factor = agreedFactor(worst, worst.speedDensityGps);
    return [
      {
        severity: Math.abs(Math.log(factor)) > 0.22 ? "fix" : "watch",
        tables: [table["air.ve"].title],
        summary: `At warm idle the engine breathes ${percent(worst.tableVeFraction * factor)}, the VE table says ${percent(worst.tableVeFraction)}`,
        because: [
          `${worst.recording}, ${plain(worst.fromS)} to ${plain(worst.toS)} s: ${plain(worst.rpm)} rpm, ${plain(worst.mapKpa)} kPa, ${plain(worst.meterGps)} g/s by the meter, ${plain(worst.fuelledGps)} g/s by the fuel, ${plain(worst.speedDensityGps)} g/s by speed and density`,
          `the table is off by ${signedPercent(1 / factor)}`,
        ],
      },
    ];
  },
});
