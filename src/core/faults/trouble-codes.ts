import type { FaultId } from "../result/index.ts";

/**
 * Stored trouble codes that point at a story, with their meaning in our words (SAE J2012 / ISO 15031-6; P1xxx is the maker's own range).
 * Which story a code may point to is common practice.
 * @source j2012, common-practice; meanings as in `tests/reference/data/dtc.csv`
 */
export const TROUBLE_CODES: readonly { readonly code: string; readonly meaning: string; readonly pointsTo: readonly FaultId[] }[] = [
  { code: "P0016", meaning: "Crank and cam signals do not agree in angle", pointsTo: ["start.cam-signal-dropout"] },
  {
    code: "P0068",
    meaning: "Throttle angle and the air seen by pressure or flow sensor contradict each other",
    pointsTo: ["air.throttle-overflow", "air.throttle-restricted", "air.unmetered-leak", "sensor.map-bias"],
  },
  { code: "P0087", meaning: "Rail pressure below what was asked", pointsTo: ["fuel.delivery-low"] },
  {
    code: "P0101",
    meaning: "Airflow meter reads a value that does not fit speed, throttle and pressure",
    pointsTo: ["air.meter-low", "air.meter-high", "air.unmetered-leak"],
  },
  { code: "P0102", meaning: "Airflow meter signal too low", pointsTo: ["air.meter-low"] },
  { code: "P0103", meaning: "Airflow meter signal too high", pointsTo: ["air.meter-high"] },
  { code: "P0106", meaning: "Manifold pressure does not fit speed, throttle or barometer", pointsTo: ["sensor.map-bias", "air.unmetered-leak"] },
  { code: "P0107", meaning: "Manifold pressure signal too low", pointsTo: ["sensor.map-bias"] },
  { code: "P0108", meaning: "Manifold pressure signal too high", pointsTo: ["sensor.map-bias"] },
  { code: "P0116", meaning: "Coolant temperature implausible", pointsTo: ["cooling.runs-cold"] },
  { code: "P0125", meaning: "Coolant takes too long to reach closed-loop temperature", pointsTo: ["cooling.runs-cold"] },
  { code: "P0128", meaning: "Coolant stays below thermostat temperature", pointsTo: ["cooling.runs-cold"] },
  { code: "P0131", meaning: "Oxygen sensor stays low", pointsTo: ["air.unmetered-leak", "exhaust.leak-ahead-of-sensor", "fuel.delivery-low"] },
  { code: "P0133", meaning: "Oxygen sensor answers too slowly", pointsTo: ["sensor.oxygen-slow"] },
  { code: "P0134", meaning: "Oxygen sensor shows no activity", pointsTo: ["sensor.oxygen-slow"] },
  { code: "P0153", meaning: "Oxygen sensor answers too slowly", pointsTo: ["sensor.oxygen-slow"] },
  {
    code: "P0171",
    meaning: "Trim has had to add fuel up to its limit",
    pointsTo: ["air.unmetered-leak", "air.meter-low", "fuel.delivery-low", "fuel.injector-flow-mismatch", "exhaust.leak-ahead-of-sensor"],
  },
  { code: "P0172", meaning: "Trim has had to take away fuel down to its limit", pointsTo: ["air.meter-high", "fuel.injector-flow-mismatch"] },
  {
    code: "P0174",
    meaning: "Trim has had to add fuel up to its limit",
    pointsTo: ["air.unmetered-leak", "air.meter-low", "fuel.delivery-low", "fuel.injector-flow-mismatch"],
  },
  { code: "P0175", meaning: "Trim has had to take away fuel down to its limit", pointsTo: ["air.meter-high", "fuel.injector-flow-mismatch"] },
  { code: "P0326", meaning: "Knock sensor 1 implausible", pointsTo: ["ignition.knock"] },
  { code: "P0328", meaning: "Knock sensor 1 signal too high", pointsTo: ["ignition.knock"] },
  { code: "P0340", meaning: "Camshaft position sensor circuit fault", pointsTo: ["start.cam-signal-dropout"] },
  { code: "P0341", meaning: "Camshaft position signal implausible", pointsTo: ["start.cam-signal-dropout"] },
  { code: "P0342", meaning: "Camshaft position signal too low", pointsTo: ["start.cam-signal-dropout"] },
  { code: "P0343", meaning: "Camshaft position signal too high", pointsTo: ["start.cam-signal-dropout"] },
  { code: "P0420", meaning: "Catalyst stores too little oxygen", pointsTo: ["exhaust.leak-ahead-of-sensor"] },
  { code: "P0441", meaning: "Purge flow is wrong", pointsTo: ["air.unmetered-leak"] },
  { code: "P0496", meaning: "Purge flows when it should not", pointsTo: ["air.unmetered-leak"] },
  { code: "P0506", meaning: "Idle speed below target", pointsTo: ["air.throttle-restricted"] },
  { code: "P0507", meaning: "Idle speed above target", pointsTo: ["air.throttle-overflow", "air.unmetered-leak"] },
  { code: "P0562", meaning: "Supply voltage low", pointsTo: ["electrical.low-voltage"] },
  { code: "P0730", meaning: "Gear ratio is none of the known ones", pointsTo: ["driveline.lockup-slip"] },
  { code: "P0740", meaning: "Converter clutch circuit open", pointsTo: ["driveline.lockup-slip"] },
  { code: "P0741", meaning: "Converter clutch slips or stays off", pointsTo: ["driveline.lockup-slip"] },
  { code: "P0744", meaning: "Converter clutch comes and goes", pointsTo: ["driveline.lockup-slip"] },
  { code: "P0894", meaning: "A transmission element slips", pointsTo: ["driveline.lockup-slip"] },
  {
    code: "P1516",
    meaning:
      "EXAMPLE of the manufacturer range: on several vehicles of one maker the throttle plate is not where the throttle actuator module commanded it for a calibrated time",
    pointsTo: ["air.throttle-restricted", "air.throttle-overflow", "electrical.low-voltage"],
  },
  { code: "P2096", meaning: "Sensor behind the catalyst keeps saying lean and its trim is at its limit", pointsTo: ["exhaust.leak-ahead-of-sensor"] },
  { code: "P2101", meaning: "Throttle motor does not do what it is told", pointsTo: ["air.throttle-restricted"] },
  { code: "P2111", meaning: "Throttle stuck open", pointsTo: ["air.throttle-overflow"] },
  { code: "P2112", meaning: "Throttle stuck closed", pointsTo: ["air.throttle-restricted"] },
  { code: "P2119", meaning: "Throttle body does not reach or hold positions as expected", pointsTo: ["air.throttle-restricted", "air.throttle-overflow"] },
  { code: "P2135", meaning: "The two throttle (or pedal) position tracks A and B disagree", pointsTo: ["air.throttle-overflow"] },
  { code: "P2176", meaning: "Throttle idle position not learned", pointsTo: ["air.throttle-overflow", "air.throttle-restricted"] },
  { code: "P2187", meaning: "Lean at idle only", pointsTo: ["air.unmetered-leak", "fuel.injector-dead-time-mismatch"] },
  { code: "P2188", meaning: "Rich at idle only", pointsTo: ["fuel.injector-dead-time-mismatch"] },
  { code: "P2189", meaning: "Lean at idle only", pointsTo: ["air.unmetered-leak"] },
  { code: "P2195", meaning: "Oxygen sensor stuck lean", pointsTo: ["exhaust.leak-ahead-of-sensor"] },
];

/** How often a code that fits is stored when the fault is there, and when it is not. Common practice: codes come late and by other causes too. */
const STORED_WITH_FAULT = 0.3;
const STORED_WITHOUT = 0.04;

export interface CodeEvidence {
  readonly fault: FaultId;
  readonly logRatio: number;
  readonly text: string;
}

/** What stored codes say; a code that fits several stories says little about each. Absence says nothing: codes may have been cleared. */
export function codeEvidence(codes: readonly string[] | undefined): readonly CodeEvidence[] {
  const evidence: CodeEvidence[] = [];
  const seen = new Set((codes ?? []).map((code) => code.trim().toUpperCase().slice(0, 5)));
  for (const { code, meaning, pointsTo } of TROUBLE_CODES) {
    if (!seen.has(code)) continue;
    const each = STORED_WITH_FAULT / Math.sqrt(pointsTo.length);
    for (const fault of pointsTo)
      evidence.push({
        fault,
        logRatio: Math.log(each / STORED_WITHOUT),
        text: `Trouble code ${code} is stored: ${meaning.charAt(0).toLowerCase()}${meaning.slice(1)}`,
      });
  }
  return evidence;
}
