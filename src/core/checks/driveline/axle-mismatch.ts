import { roadSpeedRatio } from "../../edits/index.ts";
import { curve, single } from "../../tables/index.ts";
import { type CheckHit, type CheckRun, defineCheck } from "../define.ts";
import { plain, signedPercent } from "../words.ts";

/** Rounding of shift speeds, and tyres of one nominal size. */
const SAME = 0.015;
const ENTRY_OFF = { "driveline.axle-ratio": 0.015, "driveline.tire-revs-per-km": 0.03 } as const;

const shift = (k: number) =>
  curve(
    "trans.shift-speed-up",
    "km/h",
    [0, 25, 50, 75, 100],
    [20, 33, 52, 75, 110].map((v) => Math.round(v * k)),
  );
const axle = (ratio: number) => single("driveline.axle-ratio", "-", ratio);

export default defineCheck({
  id: "driveline.axle-mismatch",
  title: "Shift speeds, axle and tyre do not belong together",
  severity: "watch",
  needs: ["driveline.axle-ratio"],
  why: "Shift speeds are road speeds: at the same engine speed they go as one over the axle ratio. When the shift speeds of two calibrations differ by one constant factor, they were made for different axles. Taking tables from such a reference, or changing the axle entry without the shift tables, moves every shift.",
  do: "Find out which axle and tyre are fitted. Enter them, move the shift speeds with them, and take no shift or axle tables over from a sister vehicle.",
  severityRule: "fix where an entry contradicts the intake sheet; note where the reference simply comes from a vehicle with another axle; watch otherwise",
  sources: ["PH-15", "RT-25", "common-practice"],
  examples: {
    fires: [
      { title: "reference of a sister vehicle", tables: [axle(3.73), shift(1)], reference: [axle(4.1), shift(3.73 / 4.1)] },
      { title: "entry is not the axle fitted", tables: [axle(3.73)], intake: { vehicle: { axleRatio: 4.1 } } },
      { title: "shift speeds moved, axle entry not", tables: [axle(3.73), shift(1.1)], reference: [axle(3.73), shift(1)] },
    ],
    silent: [{ tables: [axle(3.73), shift(1)], reference: [axle(3.73), shift(1)], intake: { vehicle: { axleRatio: 3.73 } } }],
  },
  run(input) {
    const entries = againstIntake(input);
    const shifts = againstReference(input);
    if (entries.length === 0) return shifts;
    return [
      {
        ...entries[0]!,
        because: [...entries, ...shifts].flatMap((hit) => hit.because),
        tables: [...new Set([...entries, ...shifts].flatMap((hit) => hit.tables ?? []))],
      },
    ];
  },
});

function againstIntake({ calibration, intake }: CheckRun): CheckHit[] {
  const hits: CheckHit[] = [];
  for (const [role, said] of [
    ["driveline.axle-ratio", intake.vehicle?.axleRatio],
    ["driveline.tire-revs-per-km", intake.vehicle?.tireRevsPerKm],
  ] as const) {
    const table = calibration.byRole[role];
    if (table === undefined || said === undefined || !(said > 0)) continue;
    const factor = table.cells[0]! / said;
    if (Math.abs(factor - 1) <= ENTRY_OFF[role]) continue;
    hits.push({
      severity: "fix",
      tables: [table.title],
      summary: `${table.title} is ${plain(table.cells[0]!, 4)}, the vehicle has ${plain(said, 4)}`,
      because: [`${table.title} differs from the intake sheet by ${signedPercent(factor)}: road speed is read wrong by as much`],
    });
  }
  return hits;
}

function againstReference({ calibration, reference, edits }: CheckRun): CheckHit[] {
  if (reference === undefined) return [];
  const shift = calibration.byRole["trans.shift-speed-up"];
  const edit = edits.find((e) => e.role === "trans.shift-speed-up");
  if (shift === undefined || edit === undefined) return [];
  const byEntries = roadSpeedRatio(calibration, reference) ?? 1;
  const factor = (edit.kind === "scaled" || edit.kind === "axes-changed") && edit.by !== undefined ? edit.by : edit.kind === "unchanged" ? 1 : undefined;
  const entriesDiffer = Math.abs(byEntries - 1) > SAME;
  if (factor === undefined || (Math.abs(factor - 1) <= 0.005 && !entriesDiffer)) return [];
  if (edit.kind === "axes-changed" && Math.abs(factor - 1) <= 0.005) return [];
  const tables = [shift.title, calibration.byRole["driveline.axle-ratio"]!.title];
  if (factor !== 1 && Math.abs(factor / byEntries - 1) <= SAME)
    return [
      {
        severity: "note",
        tables,
        summary: "The reference comes from a vehicle with another axle or tyre",
        because: [`shift speeds are ${plain(factor, 4)} times the reference's throughout; axle and tyre entries give ${plain(byEntries, 4)}`],
        do: "Compare freely, but take no shift, axle or tyre tables over from this reference.",
      },
    ];
  if (factor === 1)
    return [
      {
        tables,
        summary: "The axle or tyre entry differs from the reference, the shift speeds do not",
        because: [`axle and tyre entries would move road speeds by a factor of ${plain(byEntries, 4)}; the shift speeds were not moved`],
      },
    ];
  return [
    {
      tables,
      summary: `Shift speeds are ${plain(factor, 4)} times the reference's throughout, as another axle ratio would give`,
      because: [
        entriesDiffer
          ? `axle and tyre entries give ${plain(byEntries, 4)} instead`
          : `the axle entry is ${plain(calibration.byRole["driveline.axle-ratio"]!.cells[0]!, 4)} and differs from the reference by no more than 1.5 %`,
      ],
    },
  ];
}
