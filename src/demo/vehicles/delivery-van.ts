import { makePacket } from "../../core/virtual-engine/index.ts";
import { analysisOf } from "../../desk/index.ts";
import { type DemoVehicle, filesFrom, type Told } from "../hand.ts";

const TOLD: Told = {
  label: "delivery van, 1.7 L inline four, 5-speed manual",
  complaint: "Idles too fast at the kerb and hangs when the clutch goes down. Van 11 of 14, the others do not.",
  changes: ["camshaft changed with the rebuild last spring"],
  dialect: "semicolons",
};

/** One of a fleet: the story is told, the test has confirmed it, the part is on order. */
export const DELIVERY_VAN: DemoVehicle = {
  title: "Idle hangs at the kerb",
  vehicle: "delivery van 11 of 14, 1.7 L inline four, 5-speed manual",
  came: [3, "08:55"],
  shows: "waits for a throttle body; what to measure again is known",
  async tell(slug, hand) {
    hand.say("driving the delivery van");
    const made = makePacket(24, {
      family: "i4-16-na",
      transmission: "manual",
      wideband: true,
      strategy: "switch",
      faults: [{ id: "air.throttle-overflow", severity: 0.7 }],
      minutes: 7,
      reference: "own",
      edits: { harmless: 1, incoherent: 0 },
    });
    hand.at(3, "09:05");
    await hand.bring(slug, filesFrom(made, TOLD));
    hand.enter(slug, "controller.read", {
      plan: "Any controller",
      method: "On the table, by its connectors",
      supplyV: 13.4,
      fusesOut: "audio, tracker",
      connectors: "dry, pins straight",
      oil: "none",
      began: "09:20",
      minutes: 22,
      who: "the early shift",
      remark: "read twice, both the same",
    });
    hand.enter(slug, "station.marked", { station: "intake", state: "done" });
    hand.enter(slug, "time.logged", { minutes: 40, what: "read the controller on the bench supply, files checked twice" });
    hand.say("weighing what the delivery van's drive shows");
    analysisOf(hand.book, slug);
    hand.at(3, "11:30");
    hand.enter(slug, "station.marked", { station: "inspection", state: "done" });
    hand.enter(slug, "test.observed", { test: "smoke-test", outcome: "clean" });
    hand.enter(slug, "test.observed", { test: "position-sensor-sweep", outcome: "slack or disagreement" }, "1.4 % between the two tracks below 6 % opening");
    hand.enter(slug, "note.written", {
      station: "diagnosis",
      text: "Bore has a step where the plate rests; sensor shaft moves by hand. Fleet agrees to a new throttle body, no reworked one.",
    });
    hand.at(2, "08:20");
    hand.enter(slug, "time.logged", { minutes: 55, what: "smoke test, sweep of the position sensors, throttle off and looked at" });
    hand.enter(slug, "wait.began", { kind: "part", what: "throttle body, ordered", until: hand.day(-1), fault: "air.throttle-overflow" });
    analysisOf(hand.book, slug);
  },
};
