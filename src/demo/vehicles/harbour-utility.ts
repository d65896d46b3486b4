import { driveAgain, makePacket, type PacketOptions } from "../../core/virtual-engine/index.ts";
import { analysisOf, decideOn, keepSignature, makeRevision } from "../../desk/index.ts";
import { answer } from "../answer.ts";
import { type DemoVehicle, drivesFrom, filesFrom, openWait, revisionTables, type Told } from "../hand.ts";

const TOLD: Told = {
  label: "harbour utility, 3.6 L inline six, automatic",
  complaint: "Whistles and idles unevenly after the salt season. Pulls the slip trailer all day.",
  changes: ["intake hoses replaced from stock"],
  dialect: "imperial",
};

const VEHICLE: PacketOptions = {
  family: "i6-30-na",
  transmission: "automatic",
  wideband: true,
  strategy: "switch",
  minutes: 7,
  reference: "own",
  edits: { harmless: 1, incoherent: 1 },
};

/** Mended, set right, driven and closed three weeks ago. */
export const HARBOUR_UTILITY: DemoVehicle = {
  title: "Uneven idle after the salt season",
  vehicle: "harbour utility, 3.6 L inline six, automatic",
  came: [27, "08:05"],
  shows: "closed: leak mended, full load made rich enough, handed over",
  async tell(slug, hand) {
    hand.say("driving the harbour utility");
    const leaking = makePacket(52, { ...VEHICLE, faults: [{ id: "air.unmetered-leak", severity: 0.5 }] });
    hand.at(27, "08:15");
    await hand.bring(slug, filesFrom(leaking, TOLD));
    hand.enter(slug, "controller.read", {
      plan: "Any controller",
      method: "On the table, by its connectors",
      supplyV: 13.5,
      connectors: "green on two pins, cleaned and dried",
      oil: "none",
      began: "08:30",
      minutes: 35,
      who: "the early shift",
    });
    hand.say("weighing what the harbour utility's drive shows");
    const { findings } = analysisOf(hand.book, slug).result;
    hand.at(27, "13:30");
    for (const { check } of findings) answer(hand, slug, findings, check, "accepted", ANSWERS[check]);
    hand.enter(slug, "station.marked", { station: "inspection", state: "done" });
    hand.enter(slug, "test.observed", { test: "smoke-test", outcome: "leak" }, "under the hose at the brake servo");
    hand.enter(slug, "wait.began", { kind: "part", what: "vacuum hose with clips", until: hand.day(25), fault: "air.unmetered-leak" });
    hand.at(25, "10:00");
    hand.enter(slug, "part.used", { part: "vacuum hose, fuel-proof, with clips", quantity: 1, quality: "original maker", price: 23.5 });
    hand.enter(slug, "wait.ended", { began: openWait(hand, slug) }, "fitted; fuel trims reset");
    hand.enter(slug, "test.observed", { test: "smoke-test", outcome: "clean" });
    hand.say("driving the harbour utility after its repair");
    const sound = makePacket(52, VEHICLE);
    await hand.bring(
      slug,
      drivesFrom(sound.packet.recordings, TOLD, (file) => file.replace(/\.csv$/, "-mended.csv")),
    );
    hand.enter(slug, "station.marked", { station: "diagnosis", state: "done" });
    hand.say("correcting the harbour utility's tables");
    const { proposals } = analysisOf(hand.book, slug);
    hand.at(25, "15:20");
    for (const { role, heldBecause } of proposals) if (heldBecause === undefined) decideOn(hand.book, slug, { table: role, decision: "accept" }, WHY[role]);
    const revision = makeRevision(hand.book, slug, "after the hose", "air from the drive after the repair, full load back to the factory's");
    hand.enter(slug, "station.marked", { station: "change-sheet", state: "done" });
    const tables = revisionTables(hand, slug, revision.number);
    hand.say("driving the harbour utility with its new tables");
    const { recordings } = driveAgain(sound, tables, 1052, 7);
    hand.at(24, "11:00");
    await hand.bring(
      slug,
      drivesFrom(recordings, TOLD, (file) => file.replace(/\.csv$/, "-2.csv")),
      revision.number,
    );
    hand.enter(slug, "station.marked", { station: "recordings", state: "done" });
    hand.enter(slug, "time.logged", { minutes: 310, what: "reading, smoke test, hose, two drives, tables" });
    analysisOf(hand.book, slug);
    hand.at(23, "16:30");
    hand.enter(slug, "note.written", { station: "handover", text: "Handed over to the harbour's foreman. To be looked at again before the next salt season." });
    keepSignature(hand.book, slug, "handed over");
    hand.enter(slug, "station.marked", { station: "handover", state: "done" });
  },
};

const ANSWERS: Readonly<Record<string, string>> = {
  "fuel.full-load-too-lean": "goes back to the factory's; the trailer asks for it",
};

const WHY: Readonly<Record<string, string>> = {
  "fuel.full-load-ratio": "a trailer up the slipway is full load for a minute",
  "idle.base-airflow": "no leak any more",
};
