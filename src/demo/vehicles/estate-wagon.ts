import { makePacket } from "../../core/virtual-engine/index.ts";
import { analysisOf } from "../../desk/index.ts";
import { answer } from "../answer.ts";
import { type DemoVehicle, filesFrom, type Told } from "../hand.ts";

const TOLD: Told = {
  label: "estate wagon, 2.4 L inline five, automatic",
  complaint: "Smells of fuel and jerks into every gear since the injectors and the gearbox settings were done.",
  changes: ["injectors replaced", "gearbox tables written by another shop"],
  dialect: "plain-commas",
};

/** Under inspection: some findings accepted, one disputed, the rest open. */
export const ESTATE_WAGON: DemoVehicle = {
  title: "Fuel smell since the injectors",
  vehicle: "estate wagon, 2.4 L inline five, automatic",
  came: [1, "13:00"],
  shows: "findings accepted and disputed, injectors under suspicion",
  async tell(slug, hand) {
    hand.say("driving the estate wagon");
    const made = makePacket(33, {
      family: "i5-25-na",
      transmission: "automatic",
      wideband: true,
      strategy: "switch",
      faults: [{ id: "fuel.injector-flow-mismatch", severity: 0.6 }],
      minutes: 7,
      reference: "own",
      edits: { harmless: 2, incoherent: 3 },
    });
    hand.at(1, "13:10");
    await hand.bring(slug, filesFrom(made, TOLD));
    hand.enter(slug, "controller.read", {
      plan: "Any controller",
      method: "In the vehicle, by its diagnostic socket",
      supplyV: 13.6,
      fusesOut: "audio, tow socket",
      connectors: "dry, one seal replaced",
      oil: "traces",
      began: "13:20",
      minutes: 11,
      who: "the apprentice, supervised",
      remark: "oil traces at the engine side: ask again in a year",
    });
    hand.enter(slug, "station.marked", { station: "intake", state: "done" });
    hand.say("weighing what the estate wagon's drive shows");
    const { findings } = analysisOf(hand.book, slug).result;
    hand.at(1, "15:25");
    answer(hand, slug, findings, "trans.shift-time-zero", "accepted", "that is the jerk; the factory's times go back");
    answer(hand, slug, findings, "trans.pressure-over-ceiling", "accepted", "goes back with the shift times");
    answer(
      hand,
      slug,
      findings,
      "driveline.axle-mismatch",
      "disputed",
      "counted at the rear: the axle is the one on the sheet, somebody only wanted earlier shifts",
    );
    hand.enter(slug, "note.written", {
      station: "inspection",
      text: "Gearbox tables look copied from another car. Injectors first: no flow sheet came with them, the owner bought them as a matched set.",
    });
    hand.enter(slug, "time.logged", { minutes: 35, what: "went through the findings with the owner" });
  },
};
