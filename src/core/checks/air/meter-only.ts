import { curve, grid, single } from "../../tables/index.ts";
import { type CheckHit, type CheckRun, defineCheck } from "../define.ts";
import { isBreathingChanged } from "../facts.ts";
import { plain } from "../words.ts";

/** Below any idle speed: the speed-density model never gets a turn. */
const NEVER_RPM = 450;
/** A table with fewer than this share of its cells changed was not reworked. */
const UNTOUCHED_SHARE = 0.03;

const ve = grid(
  "air.ve",
  "%",
  [800, 2400, 4000],
  [30, 60, 100],
  [
    [60, 70, 72],
    [75, 85, 90],
    [85, 92, 98],
  ],
);
const cam = { engine: { displacementL: 5, cylinders: 8, camChanged: true } };

export default defineCheck({
  id: "air.meter-only",
  title: "The airflow meter alone gives the air",
  severity: "fix",
  needs: ["air.model-switch-speed"],
  why: "Two models give the air: speed and density with the VE table, and the airflow meter. A calibration that runs on the meter alone, or whose VE table is still the factory's after the camshaft was changed, is a shortcut: idle, transients and running with a failed meter all rest on a model that is switched off or wrong.",
  do: "Correct the VE table from a drive and let speed-density work below the switch speed again. Until then do not trust the calibration with the meter unplugged.",
  severityRule: "note where the factory's own calibration runs on the meter alone and the engine breathes as built; fix otherwise",
  sources: ["common-practice"],
  examples: {
    fires: [
      { title: "switched off", tables: [single("air.model-switch-speed", "rpm", 0)], reference: [single("air.model-switch-speed", "rpm", 4000)] },
      {
        title: "VE untouched after a camshaft",
        tables: [single("air.model-switch-speed", "rpm", 4000), ve],
        reference: [single("air.model-switch-speed", "rpm", 4000), ve],
        intake: cam,
      },
    ],
    silent: [
      { title: "engine as built", tables: [single("air.model-switch-speed", "rpm", 4000), ve], reference: [single("air.model-switch-speed", "rpm", 4000), ve] },
      {
        title: "no meter curve, speed-density up to the top",
        tables: [single("air.model-switch-speed", "rpm", 8000), curve("idle.target-speed", "rpm", [0, 90], [1000, 700])],
      },
    ],
  },
  run(input) {
    return [...switchedOff(input), ...untouched(input)];
  },
});

function switchedOff({ table, referenceTable, intake }: CheckRun): CheckHit[] {
  const speed = table["air.model-switch-speed"];
  if (speed.cells[0]! > NEVER_RPM) return [];
  const factory = referenceTable["air.model-switch-speed"]?.cells[0];
  const isFactory = factory !== undefined && factory <= NEVER_RPM;
  const changed = isBreathingChanged(intake);
  const because = [`${speed.title} is ${plain(speed.cells[0]!)} rpm: the meter gives the air at every speed`];
  if (factory !== undefined) because.push(isFactory ? "the factory's calibration does the same" : `the factory switches at ${plain(factory, 4)} rpm`);
  if (changed) because.push("the engine breathes otherwise than the factory's, by the intake sheet");
  if (intake.sensors?.airMeterFitted === false) because.push("the intake sheet says that no meter is fitted");
  const isNote = isFactory && !changed && intake.sensors?.airMeterFitted !== false;
  return [
    {
      severity: isNote ? "note" : factory === undefined && !changed ? "watch" : "fix",
      tables: [speed.title],
      summary: isNote
        ? "This vehicle runs on the airflow meter alone, as the factory made it"
        : "The speed-density model is switched off: the airflow meter alone gives the air",
      because,
      do: isNote ? "Nothing to repair. Changes to the VE table will not reach the fuel; correct the meter's curve instead." : undefined,
    },
  ];
}

function untouched({ table, calibration, referenceTable, intake, edits }: CheckRun): CheckHit[] {
  const ve = calibration.byRole["air.ve"];
  if (ve === undefined || referenceTable["air.ve"] === undefined || !isBreathingChanged(intake)) return [];
  if (table["air.model-switch-speed"].cells[0]! <= NEVER_RPM) return [];
  const edit = edits.find((e) => e.role === "air.ve");
  if (edit === undefined || edit.cells > UNTOUCHED_SHARE * ve.cells.length) return [];
  const because = [`${ve.title}: ${edit.cells} of ${ve.cells.length} cells differ from the factory's`];
  if (intake.engine.camChanged)
    because.push(`the camshaft was changed${intake.engine.camDurationDeg === undefined ? "" : ` (${plain(intake.engine.camDurationDeg)}° duration)`}`);
  return [{ tables: [ve.title], summary: "The VE table is still the factory's although the engine breathes otherwise", because }];
}
