import { defineTest } from "./define.ts";

export default defineTest({
  id: "map-against-barometer",
  title: "Manifold pressure against a barometer, key on, engine off",
  how: "Key on, engine off for ten seconds: the manifold sensor must read what a barometer at the same height reads; repeat with a hand pump at two vacuums.",
  minutes: 10,
  cautions: ["Use a local station pressure, not one reduced to sea level."],
  outcomes: ["agrees", "off by more than 1.5 kPa"],
  under: { "sensor.map-bias": { agrees: 0.07, "off by more than 1.5 kPa": 0.93 } },
  otherwise: { agrees: 0.97, "off by more than 1.5 kPa": 0.03 },
  sources: ["common-practice"],
});
