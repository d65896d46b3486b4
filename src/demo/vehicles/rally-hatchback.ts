import { seededRandom } from "../../base/index.ts";
import { drawSweeps, driveAgain, makePacket } from "../../core/virtual-engine/index.ts";
import { analysisOf, decideOn, makeRevision } from "../../desk/index.ts";
import { answer } from "../answer.ts";
import { type DemoVehicle, drivesFrom, filesFrom, revisionTables, type Told } from "../hand.ts";

const TOLD: Told = {
  label: "school car, two-door hatchback, 1.2 L turbocharged inline three, manual",
  complaint: "Rebuilt over the winter. Pupils say it is lazy out of hairpins and stalls when the pedal is let go.",
  changes: ["engine rebuilt, same parts", "open filter on the original tube"],
  dialect: "tabs",
};

/** Corrected, driven again, verified, on the rollers before and after: ready to be handed over. */
export const RALLY_HATCHBACK: DemoVehicle = {
  title: "Rally school: set up after the rebuild",
  vehicle: "school car 3, hatchback, 1.2 L turbocharged inline three, manual",
  shows: "corrected and verified by a second drive, sweeps before and after, handover ready",
  async tell(slug, hand) {
    hand.say("driving the rally school's hatchback");
    const made = makePacket(45, {
      family: "i3-10-turbo",
      transmission: "manual",
      wideband: true,
      strategy: "switch",
      minutes: 10,
      reference: "own",
      distortion: { ve: "smooth", veSpread: 0.05, idle: true },
      edits: { harmless: 1, incoherent: 0 },
      sweeps: 3,
    });
    hand.at(6, "08:30");
    await hand.bring(slug, filesFrom(made, TOLD));
    hand.enter(slug, "station.marked", { station: "intake", state: "done" });
    hand.enter(slug, "time.logged", { minutes: 150, what: "read, recorded a drive, three sweeps as received" });
    hand.say("weighing what the hatchback's drive shows");
    const { result, proposals } = analysisOf(hand.book, slug);
    const { findings } = result;
    hand.at(6, "14:00");
    for (const { check } of findings) answer(hand, slug, findings, check, check === "spark.patch" ? "disputed" : "accepted", ANSWERS[check]);
    hand.enter(slug, "station.marked", { station: "inspection", state: "done" });
    hand.enter(slug, "test.observed", { test: "smoke-test", outcome: "clean" });
    hand.enter(slug, "station.marked", { station: "diagnosis", state: "done" });
    hand.at(5, "09:15");
    for (const { role, heldBecause } of proposals) if (heldBecause === undefined) decideOn(hand.book, slug, { table: role, decision: "accept" }, WHY[role]);
    const revision = makeRevision(hand.book, slug, "first drive", "air and idle from the drive and the idle as received");
    hand.enter(slug, "station.marked", { station: "change-sheet", state: "done" });
    hand.say("driving the hatchback with its new tables");
    const tables = revisionTables(hand, slug, revision.number);
    const { recordings } = driveAgain(made, tables, 1045, 10);
    const sweeps = drawSweeps(made.truth.vehicle, tables, 3, seededRandom(2045)).map((sweep) => sweep.recording);
    const second = (file: string): string => file.replace(/\.csv$/, "-2.csv");
    hand.at(4, "16:40");
    await hand.bring(slug, drivesFrom([...recordings, ...sweeps], TOLD, second), revision.number);
    hand.enter(slug, "station.marked", { station: "recordings", state: "done" });
    hand.enter(slug, "station.marked", { station: "pulls", state: "done" });
    hand.enter(slug, "time.logged", { minutes: 120, what: "second drive, three sweeps with revision 1" });
    hand.enter(slug, "part.used", { part: "spark plugs", quantity: 3, quality: "original maker", price: 11.4 });
    hand.enter(slug, "note.written", {
      station: "handover",
      text: "School fetches it on Saturday. Tell them: sound fuel only, the school's pump had the low grade in January.",
    });
    hand.say("verifying the hatchback's revision");
    analysisOf(hand.book, slug);
  },
};

const ANSWERS: Readonly<Record<string, string>> = {
  "idle.airflow-below-engine": "that is why it stalls; taken from the warm idle",
  "spark.patch": "three degrees out where it rattled on the low grade; the school runs it on that when nobody looks",
  "pull.lean-at-load": "swept no further before the air tables were right",
};

const WHY: Readonly<Record<string, string>> = {
  "air.ve": "the drive covers what the school asks of it",
  "air.meter-curve": "fitted together with VE",
  "idle.base-airflow": "two minutes of settled idle, warm",
};
