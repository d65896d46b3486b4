import { seededRandom } from "../../base/index.ts";
import { drawSweeps, driveAgain, makePacket } from "../../core/virtual-engine/index.ts";
import { analysisOf, decideOn, makeRevision } from "../../desk/index.ts";
import { type DemoVehicle, drivesFrom, filesFrom, revisionTables, type Told } from "../hand.ts";

const TOLD: Told = {
  label: "school car, hatchback, 1.6 L turbocharged inline four, manual",
  complaint: "Rebuilt over the winter. Pupils say it is lazy out of hairpins and hangs on when the pedal is let go.",
  changes: ["engine rebuilt, same parts", "open filter on the original tube"],
  dialect: "tabs",
};

/** Corrected, driven again, verified, on the rollers before and after: ready to be handed over. */
export const RALLY_HATCHBACK: DemoVehicle = {
  title: "Rally school: set up after the rebuild",
  vehicle: "school car 3, 1.6 L turbocharged inline four, manual",
  came: [6, "08:20"],
  shows: "corrected and verified by a second drive, sweeps before and after, handover ready",
  async tell(slug, hand) {
    hand.say("driving the rally school's hatchback");
    const made = makePacket(50, {
      family: "i4-20-turbo",
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
    hand.enter(slug, "controller.read", {
      plan: "Any controller",
      method: "In the vehicle, by its diagnostic socket",
      supplyV: 13.8,
      connectors: "dry",
      oil: "none",
      began: "08:40",
      minutes: 9,
      who: "the early shift",
    });
    hand.enter(slug, "station.marked", { station: "intake", state: "done" });
    hand.enter(slug, "time.logged", { minutes: 150, what: "read, recorded a drive, three sweeps as received" });
    hand.say("weighing what the hatchback's drive shows");
    const { proposals } = analysisOf(hand.book, slug);
    hand.at(6, "14:00");
    hand.enter(slug, "station.marked", { station: "inspection", state: "done" });
    hand.enter(slug, "test.observed", { test: "smoke-test", outcome: "clean" });
    hand.enter(slug, "station.marked", { station: "diagnosis", state: "done" });
    hand.at(5, "09:15");
    for (const { role, heldBecause } of proposals) if (heldBecause === undefined) decideOn(hand.book, slug, { table: role, decision: "accept" }, WHY[role]);
    const revision = makeRevision(hand.book, slug, "first drive", "air and idle from the drive and the idle as received");
    hand.enter(slug, "station.marked", { station: "change-sheet", state: "done" });
    hand.say("driving the hatchback with its new tables");
    const tables = revisionTables(hand, slug, revision.number);
    const { recordings } = driveAgain(made, tables, 1049, 10);
    const sweeps = drawSweeps(made.truth.vehicle, tables, 3, seededRandom(2049)).map((sweep) => sweep.recording);
    const second = (file: string): string => file.replace(/\.csv$/, "-2.csv");
    hand.at(4, "16:40");
    await hand.bring(slug, drivesFrom([...recordings, ...sweeps], TOLD, second), revision.number);
    hand.enter(slug, "station.marked", { station: "recordings", state: "done" });
    hand.enter(slug, "station.marked", { station: "pulls", state: "done" });
    hand.enter(slug, "time.logged", { minutes: 120, what: "second drive, three sweeps with revision 1" });
    hand.enter(slug, "part.used", { part: "spark plugs", quantity: 4, quality: "original maker", price: 11.4 });
    hand.enter(slug, "note.written", {
      station: "handover",
      text: "School fetches it on Saturday. Tell them: sound fuel only, the school's pump had the low grade in January.",
    });
    hand.say("verifying the hatchback's revision");
    analysisOf(hand.book, slug);
  },
};

const WHY: Readonly<Record<string, string>> = {
  "air.ve": "the drive covers what the school asks of it",
  "air.meter-curve": "fitted together with VE",
  "idle.base-airflow": "two minutes of settled idle, warm",
};
