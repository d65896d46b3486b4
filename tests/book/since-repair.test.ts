import { expect, test } from "vitest";
import { type FileInJob, foldJob, type JobEvent } from "../../src/book/index.ts";
import { sinceRepair } from "../../src/desk/index.ts";

type Entry = Pick<JobEvent, "kind" | "data">;

function jobOf(...entries: readonly Entry[]) {
  const events = entries.map((entry, i) => ({ number: i + 1, at: "2026-11-25T10:00:00Z", by: "test", ...entry }));
  return foldJob("a-job", events);
}

const added = (...paths: readonly string[]): Entry => ({
  kind: "files.added",
  data: { files: paths.map((path) => ({ path, sha256: "0".repeat(64), bytes: 1 })) },
});
const waits = (fault?: string): Entry => ({ kind: "wait.began", data: { kind: "part", what: "throttle body", ...(fault === undefined ? {} : { fault }) } });
const over = (began: number): Entry => ({ kind: "wait.ended", data: { began } });
const outcome = (test: string): Entry => ({ kind: "test.observed", data: { test, outcome: "leak" } });
const paths = (files: readonly FileInJob[]) => files.map((file) => file.path);

test("recordings and outcomes from before a repair no longer speak once something was recorded after it", () => {
  const state = jobOf(added("intake.json", "recordings/a.csv"), outcome("smoke-test"), waits("air.throttle-overflow"), over(3), added("recordings/b.csv"));
  const since = sinceRepair(state);
  expect(paths(since.files)).toEqual(["intake.json", "recordings/b.csv"]);
  expect(since.observed).toEqual([]);
  expect(since.intakeHolds).toBe(false);
  expect(since.remarks).toEqual(["made before the repair of air.throttle-overflow (throttle body) and no longer taken into account: recordings/a.csv"]);
});

test("until then they are all there is", () => {
  const since = sinceRepair(jobOf(added("intake.json", "recordings/a.csv"), outcome("smoke-test"), waits("air.throttle-overflow"), over(3)));
  expect(paths(since.files)).toEqual(["intake.json", "recordings/a.csv"]);
  expect(since.observed).toHaveLength(1);
  expect(since.intakeHolds).toBe(true);
  expect(since.remarks).toEqual([]);
});

test("a wait that mends nothing changes nothing", () => {
  const since = sinceRepair(jobOf(added("recordings/a.csv"), waits(), over(2), added("recordings/b.csv")));
  expect(paths(since.files)).toEqual(["recordings/a.csv", "recordings/b.csv"]);
});

test("an intake written after the repair holds", () => {
  const written: Entry = { kind: "intake.written", data: { intake: { engine: { displacementL: 2, cylinders: 4 } } } };
  const since = sinceRepair(jobOf(added("recordings/a.csv"), waits("air.unmetered-leak"), over(2), added("recordings/b.csv"), written));
  expect(since.intakeHolds).toBe(true);
});

test("a recording of the same name takes the earlier one's place, but not across a repair or a revision", () => {
  const again = jobOf(added("recordings/a.csv"), added("recordings/a.csv"));
  expect(again.files.map((file) => file.number)).toEqual([2]);
  const repaired = jobOf(added("recordings/a.csv"), waits("air.unmetered-leak"), over(2), added("recordings/a.csv"));
  expect(repaired.files.map((file) => file.number)).toEqual([1, 4]);
  const revised = jobOf(
    added("recordings/a.csv"),
    { kind: "revision.made", data: { revision: 1, name: "First", from: 0, tables: [] } },
    added("recordings/a.csv"),
  );
  expect(revised.files.map((file) => [file.number, file.revision])).toEqual([
    [1, 0],
    [3, 1],
  ]);
});
