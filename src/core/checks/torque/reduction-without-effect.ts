import { curve, grid, single } from "../../tables/index.ts";
import { defineCheck } from "../define.ts";
import { largest, percent } from "../words.ts";

/** A loss table that reaches less than half of what is asked for cannot give it. */
const SMALLEST_REACH = 0.5;

const retardDeg = [0, 10, 20, 30, 40];
const request = grid(
  "torque.shift-reduction",
  "fraction",
  [1, 2],
  [0, 200, 400],
  [
    [0.1, 0.1],
    [0.25, 0.2],
    [0.35, 0.3],
  ],
);

export default defineCheck({
  id: "torque.reduction-without-effect",
  title: "Torque reduction asked for, but none can be given",
  severity: "fix",
  needs: ["torque.spark-loss"],
  why: "The controller turns the share of torque to be taken away into spark retard by looking backwards through the table of torque lost to retard. Where that table is zero it finds no retard, and a shift or a hold on the brake takes nothing away, whatever the request says: the clutch pack changes over at full torque.",
  do: "Put the loss table back to the factory's. If less reduction is wanted, lower the request instead: restoring the loss table and halving the request gives half of the factory's reduction.",
  severityRule: "watch where only the brake-hold request is left without effect; fix otherwise",
  sources: ["common-practice", "PH-19"],
  examples: {
    fires: [{ title: "loss table zeroed", tables: [request, curve("torque.spark-loss", "fraction", retardDeg, [0, 0, 0, 0, 0])] }],
    silent: [
      { title: "as the factory has it", tables: [request, curve("torque.spark-loss", "fraction", retardDeg, [0, 0.05, 0.19, 0.43, 0.77])] },
      {
        title: "nothing asked for",
        tables: [single("torque.brake-hold-reduction", "0/1", 0), curve("torque.spark-loss", "fraction", retardDeg, [0, 0, 0, 0, 0])],
      },
    ],
  },
  lacks: ({ calibration }) =>
    calibration.byRole["torque.shift-reduction"] === undefined && calibration.byRole["torque.brake-hold-reduction"] === undefined
      ? "the calibration has no table with the role torque.shift-reduction or torque.brake-hold-reduction"
      : undefined,
  run({ table, calibration }) {
    const loss = table["torque.spark-loss"];
    const shift = calibration.byRole["torque.shift-reduction"];
    const hold = calibration.byRole["torque.brake-hold-reduction"];
    const asked = shift === undefined ? 0 : largest(shift.cells);
    const isHoldAsked = hold !== undefined && hold.cells[0]! >= 0.5;
    const reach = largest(loss.cells);
    const isShiftLost = asked > 0.005 && reach < SMALLEST_REACH * asked;
    const isHoldLost = isHoldAsked && reach < 0.02;
    if (!isShiftLost && !isHoldLost) return [];
    const because = [reach <= 0 ? `${loss.title} is zero at every retard` : `${loss.title} reaches ${percent(reach)} of torque at most`];
    if (isShiftLost) because.push(`${shift!.title} asks for up to ${percent(asked)} of torque to be taken away in a shift`);
    if (isHoldLost) because.push(`${hold!.title} asks for a reduction on the brake`);
    return [
      {
        severity: isShiftLost ? "fix" : "watch",
        tables: [loss.title, ...(isShiftLost ? [shift!.title] : []), ...(isHoldLost ? [hold!.title] : [])],
        summary: isShiftLost
          ? "Torque reduction in shifts is asked for, but the spark-loss table lets none be found"
          : "Torque reduction on the brake is asked for, but none can be found",
        because,
      },
    ];
  },
});
