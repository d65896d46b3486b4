import { mean } from "../../../base/index.ts";
import { curve, lookUpCurve } from "../../tables/index.ts";
import { type CheckHit, type CheckRun, defineCheck } from "../define.ts";
import { isManual } from "../facts.ts";
import { agreedFactor } from "../warm-idle.ts";
import { plain } from "../words.ts";

/** Share of the seen idle air under which the base is well below the engine. */
const SMALLEST_SHARE_OF_SEEN = 0.87;
const SMALLEST_SHARE_OF_ONE = 0.76;
/** Recordings of one way of idling agree to about this. Common practice, no published source. */
const ONE_IDLE = 1.12;
/** Air that a warm engine needs to idle [g per litre and cycle]: from RT-13, 7.5 to 11 g/s for 5.3 L at 800 rpm, its low end. */
const LEAST_G_PER_L = 0.21;
const SMALLEST_SHARE_OF_COMPUTED = 0.83;
const WARM_C = 88;

const coolant = [-40, 20, 60, 80, 100];
const base = curve("idle.base-airflow", "g/s", coolant, [30, 11, 8, 6.8, 6.6]);
const idle = {
  recording: "idle.csv",
  seconds: 60,
  fromS: 0,
  toS: 60,
  rpm: 800,
  mapKpa: 52,
  coolantC: 90,
  meterGps: 9.3,
  fuelledGps: 9.4,
  speedDensityGps: 9.2,
  tableVeFraction: 0.48,
};
const big = { engine: { displacementL: 5.3, cylinders: 8 } };

export default defineCheck({
  id: "idle.airflow-below-engine",
  title: "Base idle air is less than the engine needs",
  severity: "fix",
  needs: ["idle.base-airflow"],
  why: "The base airflow is what the controller opens the throttle for before it has learned anything. When it is well under what the engine draws, the engine sags or dies when coming to a stop, and the learned part runs to its limit.",
  do: "Raise the base airflow to what the warm engine is seen to draw, once the throttle is known to be sound: replace a worn throttle body first, or its error is baked in.",
  severityRule: "fix where a recording shows it; watch where it is only computed from displacement and idle speed",
  sources: ["common-practice", "RT-13", "PH-02"],
  examples: {
    fires: [
      { title: "seen in a recording", tables: [base], intake: big, warmIdle: idle },
      {
        title: "computed",
        tables: [curve("idle.base-airflow", "g/s", coolant, [20, 8, 5.5, 4.8, 4.6]), curve("idle.target-speed", "rpm", coolant, [1200, 1000, 850, 800, 800])],
        intake: big,
      },
    ],
    silent: [
      { title: "base as drawn", tables: [curve("idle.base-airflow", "g/s", coolant, [36, 14, 10, 9.3, 9.2])], intake: big, warmIdle: idle },
      { title: "computed, enough", tables: [base, curve("idle.target-speed", "rpm", coolant, [1200, 1000, 750, 650, 650])], intake: big },
    ],
  },
  lacks: ({ warmIdles, calibration }) =>
    warmIdles.length === 0 && calibration.byRole["idle.target-speed"] === undefined
      ? "neither a recording of a warm idle nor a table with the role idle.target-speed"
      : undefined,
  run(input) {
    const seen = fromRecordings(input);
    return seen ?? fromDisplacement(input);
  },
});

/** Undefined when no recording can tell. */
function fromRecordings({ warmIdles, table, intake }: CheckRun): CheckHit[] | undefined {
  const base = table["idle.base-airflow"];
  const known = warmIdles.map((w) => ({ w, at: lookUpCurve(base, w.coolantC) })).filter(({ w, at }) => Number.isFinite(agreedFactor(w, at)));
  if (known.length === 0) return undefined;
  const factor = Math.exp(mean(known.map(({ w, at }) => Math.log(agreedFactor(w, at)))));
  // In gear an automatic's converter drags on the idle; one recording alone may be of that.
  const isOneOfAutomatic = known.length === 1 && !isManual(intake);
  if (!(1 / factor < (isOneOfAutomatic ? SMALLEST_SHARE_OF_ONE : SMALLEST_SHARE_OF_SEEN))) return [];
  const baseGps = mean(known.map(({ at }) => at));
  const drawn = known.map(({ w, at }) => agreedFactor(w, at) * at);
  const differs = Math.max(...drawn) > ONE_IDLE * Math.min(...drawn);
  const draws = differs
    ? `between ${plain(Math.min(...drawn))} and ${plain(Math.max(...drawn))} g/s, ${plain(baseGps * factor)} g/s in the middle`
    : `${plain(baseGps * factor)} g/s`;
  return [
    {
      summary: `Warm idle draws ${draws}; the base airflow is ${plain(baseGps)} g/s`,
      because: [
        ...known.map(
          ({ w, at }) =>
            `${w.recording}, ${plain(w.fromS)} to ${plain(w.toS)} s at ${plain(w.rpm)} rpm and ${plain(w.coolantC)} °C: ${plain(w.meterGps)} g/s by the meter, ${plain(w.fuelledGps)} g/s by the fuel, ${plain(at)} g/s from ${base.title}`,
        ),
        ...(differs ? ["the recordings differ: in gear, or with a load switched on, an engine idles on more air; the base airflow must start it in both"] : []),
      ],
    },
  ];
}

function fromDisplacement({ table, calibration, intake }: CheckRun): CheckHit[] {
  const target = calibration.byRole["idle.target-speed"];
  if (target === undefined) return [];
  const base = lookUpCurve(table["idle.base-airflow"], WARM_C);
  const rpm = lookUpCurve(target, WARM_C);
  const needGps = (LEAST_G_PER_L * intake.engine.displacementL * rpm) / 120;
  if (base >= SMALLEST_SHARE_OF_COMPUTED * needGps) return [];
  return [
    {
      severity: "watch",
      tables: [table["idle.base-airflow"].title, target.title],
      summary: `Base idle air of ${plain(base)} g/s is little for ${plain(intake.engine.displacementL)} L at ${plain(rpm)} rpm`,
      because: [`an engine of this size takes at least ${plain(needGps)} g/s to idle warm at ${plain(rpm)} rpm`, "no recording of a warm idle to see it by"],
      do: "Record a warm idle and set the base airflow by what the engine draws.",
    },
  ];
}
