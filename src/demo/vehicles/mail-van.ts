import type { DemoVehicle } from "../hand.ts";

/** Rolled in this morning: a complaint, and nothing read yet. */
export const MAIL_VAN: DemoVehicle = {
  title: "Down on power over the pass",
  vehicle: "mail van, 2.4 L inline four, 5-speed manual",
  came: [0, "07:40"],
  shows: "just arrived: nothing read, nothing recorded",
  async tell(slug, hand) {
    hand.at(0, "07:42");
    hand.enter(slug, "note.written", {
      station: "intake",
      text: "The depot: climbs the pass in second since the winter, fine in the valley. The round goes from 900 to 2,150 m. No lamp on. Last service entry 14 months ago.",
    });
    hand.enter(slug, "note.written", {
      station: "reading",
      text: "Controller sits behind the glove box, two connectors. Depot wants it back for Thursday's round.",
    });
  },
};
