import { defineTest } from "./define.ts";

export default defineTest({
  id: "thermostat-check",
  title: "Thermostat check",
  how: "Warm up from cold while watching both ends of the radiator: the lower hose must stay cold until the opening temperature; read coolant at the sensor with a second thermometer.",
  minutes: 30,
  cautions: ["Never open a hot cooling system; steam and coolant scald.", "Electric fans start by themselves."],
  outcomes: ["opens where it should", "opens early or stays open"],
  under: { "cooling.runs-cold": { "opens where it should": 0.08, "opens early or stays open": 0.92 } },
  otherwise: { "opens where it should": 0.96, "opens early or stays open": 0.04 },
  sources: ["common-practice"],
});
