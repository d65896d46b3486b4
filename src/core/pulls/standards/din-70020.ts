import { definePowerStandard } from "./define.ts";

/** DIN 70020, older edition: (101.3/p) √((t + 273)/293), p the whole barometric pressure, so humidity does not enter. @source din-70020; AP-DIN70020-1 to AP-DIN70020-9 */
export const din70020 = definePowerStandard({
  id: "din-70020",
  name: "DIN 70020",
  title: "Older German net power; whole barometric pressure, humidity left out",
  reference: "20 °C, 101.3 kPa",
  limits: "no limits known here",
  boosted: "no rule of its own known here",
  sources: ["din-70020"],
  factor: (air) => (101.3 / air.pressureKpa) * Math.sqrt((air.temperatureC + 273) / 293),
  validity: () => "no limits known",
});
