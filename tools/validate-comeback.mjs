// What the comparison with the handover signature is worth: vehicles of which nothing new is known but how they left, and a new drive.
import { built } from "./built.mjs";
import { table } from "./markdown.mjs";

/**
 * @typedef {{ seed: number, fault: string }} Planned
 * @typedef {{ seed: number, truth: readonly { id: string, severity: number }[], moved: readonly { fault: string, probability: number }[],
 *   alone: readonly { fault: string, probability: number }[], family: string, meter: boolean, wideband: boolean }} Returned
 */

/** Of three vehicles that come back two have a fault, one has none. @param {number} first @param {number} count
 * @returns {Planned[]}
 */
export function plannedComebacks(first, count) {
  return Array.from({ length: count }, (_, i) => ({ seed: first + i, fault: i % 3 === 2 ? "" : "draw" }));
}

/** Corrects a vehicle, lets it leave with its signature, lets it come back, and says what moved. @param {Planned} plan
 * @returns {Promise<Returned>}
 */
export async function returned({ seed, fault }) {
  const engine = await built("core/virtual-engine/index");
  const { observe } = await built("core/residuals/index");
  const { diagnose, residualSignature } = await built("core/faults/index");
  const { proposeCorrections } = await built("core/corrections/index");
  const { calibrationOf } = await built("core/tables/index");
  const made = engine.makePacket(seed);
  const { intake, asReceived, reference } = made.packet;
  /** @param {readonly unknown[]} recordings @param {unknown} calibration @param {unknown} sheet */
  const seen = (recordings, calibration, sheet) => ({
    observations: recordings.map((recording) => observe(recording, calibration, sheet)),
    calibration,
    reference,
    intake: sheet,
  });
  const arrival = seen(made.packet.recordings, asReceived, intake);
  const { suspects } = diagnose(arrival);
  /** @type {import("../src/core/corrections/index.ts").CorrectionProposal[]} */
  const proposals = proposeCorrections({ ...arrival, suspects, findings: [] }).proposals;
  const accepted = new Map(
    proposals.filter((each) => each.heldBecause === undefined).map((each) => [each.role, each.after]),
  );
  const left = calibrationOf(
    asReceived.tables.map(
      (/** @type {import("../src/core/tables/index.ts").Table} */ each) =>
        accepted.get(/** @type {any} */ (each.role)) ?? each,
    ),
  );
  const leaving = engine.driveAgain(made, left, seed + 8_000_000);
  const earlier = residualSignature(seen(leaving.recordings, left, intake));
  const back = engine.comeBack(made, seed + 9_000_000, { calibration: left, ...(fault === "" ? {} : { fault }) });
  const now = seen(back.packet.recordings, left, back.packet.intake);
  const short = (/** @type {readonly { fault: string, probability: number }[]} */ all) =>
    all.map(({ fault: id, probability }) => ({ fault: id, probability }));
  return {
    seed,
    truth: back.faults.map((/** @type {{ id: string, severity: number }} */ { id, severity }) => ({ id, severity })),
    moved: short(diagnose({ ...now, earlier }).suspects),
    alone: short(diagnose(now).suspects),
    family: made.truth.vehicle.label,
    meter: intake.sensors?.airMeterFitted === true,
    wideband: intake.sensors?.widebandFitted === true,
  };
}

/** @param {number} part @param {number} whole */
function share(part, whole) {
  return whole === 0 ? "–" : `${((100 * part) / whole).toFixed(1)} % (${part} of ${whole})`;
}

/** @param {readonly { fault: string }[]} suspects @param {string} id @param {number} first */
function isAmong(suspects, id, first) {
  return suspects.slice(0, first).some(({ fault }) => fault === id);
}

/** @param {readonly { fault: string, probability: number }[]} suspects */
function raisesSomething(suspects) {
  return suspects[0] !== undefined && suspects[0].fault !== "healthy" && suspects[0].probability > 0.5;
}

/** The figures that must hold, each with its target. @param {readonly Returned[]} all */
export function keyFiguresOfComebacks(all) {
  const broken = all.filter(({ truth }) => truth.length === 1);
  const sound = all.filter(({ truth }) => truth.length === 0);
  const named = (/** @type {"moved" | "alone"} */ by, /** @type {number} */ first) =>
    broken.filter((each) => isAmong(each[by], each.truth[0]?.id ?? "", first)).length;
  const raised = (/** @type {"moved" | "alone"} */ by) => sound.filter((each) => raisesSomething(each[by])).length;
  return [
    ["Fault that came since, among the first two", share(named("moved", 2), broken.length), "90 %"],
    ["The same, named first", share(named("moved", 1), broken.length), "–"],
    ["Nothing has come since, but a fault is raised", share(raised("moved"), sound.length), "at most 4 %"],
    ["Without the signature: among the first two", share(named("alone", 2), broken.length), "–"],
    ["Without the signature: named first", share(named("alone", 1), broken.length), "–"],
    ["Without the signature: raised although sound", share(raised("alone"), sound.length), "–"],
  ];
}

/** First line of the page: it is made by another command than the reference pages. */
const MADE = "<!-- Made by `npm run validate`. Do not edit. -->";

/** @param {readonly Returned[]} all @param {{ first: number, ids: readonly string[] }} about */
export function comebackPage(all, { first, ids }) {
  const rows = ids.flatMap((id) => {
    const of = all.filter(({ truth }) => (truth[0]?.id ?? "healthy") === id);
    if (of.length === 0) return [];
    const names = new Map();
    for (const { moved } of of) names.set(moved[0]?.fault, (names.get(moved[0]?.fault) ?? 0) + 1);
    const named = [...names]
      .sort((a, b) => b[1] - a[1])
      .map(([name, count]) => (name === id ? `**itself** ${count}` : `${name} ${count}`));
    return [[`\`${id}\``, of.length, named.join(", ")]];
  });
  return `${[
    MADE,
    "# What the handover signature is worth when a vehicle comes back",
    `${all.length} virtual vehicles, seeds ${first} to ${first + all.length - 1}, none of them used while the method was made. Each is corrected, drives once more on the accepted tables and leaves its signature; then it comes back with other weather, another tank, a little wear and another drive, two of three with one fault of severity 0.3 to 1. Suspects are named by what moved since. The virtual vehicle is our own: read these figures as an upper bound. Made by \`npm run validate\`.`,
    "## Key figures",
    table(["", "measured", "wanted"], keyFiguresOfComebacks(all)),
    "## Which fault was named by what moved",
    table(["came since", "vehicles", "named first"], rows),
  ].join("\n\n")}\n`;
}
