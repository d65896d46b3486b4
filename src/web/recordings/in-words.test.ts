import { expect, test } from "vitest";
import type { AnalysisView, RecordingView } from "../../api/index.ts";
import { recordingWords } from "./in-words.ts";

const recording = {
  file: "recordings/drive.csv",
  rows: 12_000,
  durationS: 600,
  moments: [
    { kind: "warm-idle", fromS: 0, toS: 90 },
    { kind: "cruise", fromS: 100, toS: 300 },
    { kind: "cruise", fromS: 320, toS: 420 },
    { kind: "shift", fromS: 310, toS: 311 },
  ],
} as unknown as RecordingView;
const suspects = [
  { fault: "air.leak", for: [{ recording: "recordings/other.csv" }] },
  { fault: "fuel.weak", for: [{ recording: "recordings/drive.csv" }] },
];
const analysis = { result: { suspects }, faults: { "fuel.weak": { title: "Fuel pressure falls under load" } } } as unknown as AnalysisView;

test("length, rate, what was driven longest first, and the first suspect that has evidence in it", () => {
  expect(recordingWords(recording, analysis)).toBe(
    "10.0 min at about 20 rows a second: cruise 5.0 min, warm idle 90 s. It speaks for “Fuel pressure falls under load”.",
  );
});

test("where nothing broken explains it best, it speaks for no fault", () => {
  const healthy = { ...analysis, result: { suspects: [{ fault: "healthy", for: [{ recording: recording.file }] }, ...suspects] } } as unknown as AnalysisView;
  expect(recordingWords(recording, healthy)).toMatch(/It speaks for no fault\.$/);
});

test("a recording without moments, and without a length, is told of plainly", () => {
  expect(recordingWords({ ...recording, moments: [], rows: 1, durationS: 0, file: "x.csv" }, analysis)).toBe("0 s.");
});
