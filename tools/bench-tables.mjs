// How long a million recorded samples take to become both air tables, VE in 40 × 40 cells; and what the work needs beside the recording.
// Usage: npm run bench does it too; alone: node tools/bench-tables.mjs
// A drive of the virtual vehicle is told over and over until it is long enough: cells and spans are those of a real drive.
import { built } from "./built.mjs";
import { longDrive } from "./long-drive.mjs";

const { airFit } = await built("core/corrections/air/air-fit");
const { observe } = await built("core/residuals/index");
const { columnsOf, resampleLike, rowsOf } = await built("core/tables/index");
const { readPacket } = await built("formats/index");

const SAMPLES = 1_000_000;
const SIDE = 40;
const RUNS = 3;
const MOST_S = 1.5;
const MOST_MB = 250;

/** Evenly spaced from the first to the last of an axis. @param {Float64Array} values @param {number} length */
const spread = (values, length) => {
  const [low, high] = [values[0] ?? 0, values[values.length - 1] ?? 1];
  return Float64Array.from({ length }, (_, k) => low + ((high - low) * k) / (length - 1));
};

/** @param {any} calibration */
function finer(calibration) {
  const ve = calibration.byRole["air.ve"];
  const like = {
    ...ve,
    x: { ...ve.x, values: spread(ve.x.values, SIDE) },
    y: { ...ve.y, values: spread(ve.y.values, SIDE) },
    cells: new Float64Array(SIDE * SIDE),
  };
  return { ...calibration, byRole: { ...calibration.byRole, "air.ve": { ...like, cells: resampleLike(ve, like) } } };
}

/** The same observations so many times over. @param {Record<string, any>} observations @param {number} n */
function repeated(observations, n) {
  return Object.fromEntries(
    Object.entries(observations).map(([name, value]) => {
      if (!(value instanceof Float64Array) || value.length !== observations.n) return [name, name === "n" ? n : value];
      const long = new Float64Array(n);
      for (let from = 0; from < n; from += value.length)
        long.set(value.subarray(0, Math.min(value.length, n - from)), from);
      return [name, long];
    }),
  );
}

const files = longDrive({ seed: 20, minutes: 20, rateHz: 20 });
const encoder = new TextEncoder();
const packet = readPacket(files.map(({ path, text }) => ({ path, bytes: encoder.encode(text) })));
const calibration = finer(packet.asReceived);
const observations = [repeated(observe(packet.recordings[0], calibration, packet.intake), SAMPLES)];
const input = {
  calibration,
  reference: packet.reference,
  intake: packet.intake,
  observations,
  suspects: [],
  findings: [],
};
const before = process.memoryUsage().rss;
let seconds = Number.POSITIVE_INFINITY;
/** @type {any} */
let samples;
for (let run = 0; run < RUNS; run++) {
  const startMs = performance.now();
  ({ samples } = airFit(input));
  seconds = Math.min(seconds, (performance.now() - startMs) / 1000);
}
const megabytes = Math.max(0, process.resourceUsage().maxRSS * 1024 - before) / 1e6;
const cells = `${columnsOf(samples.ve.table)} × ${rowsOf(samples.ve.table)}`;
process.stdout.write(
  `${JSON.stringify([
    {
      what: `air tables (${cells}) from ${SAMPLES.toLocaleString("en")} samples`,
      value: `${seconds.toFixed(2)} s`,
      target: `< ${MOST_S} s`,
      seconds,
    },
    { what: "  memory beside the samples", value: `${megabytes.toFixed(0)} MB`, target: `< ${MOST_MB} MB` },
  ])}\n`,
);
