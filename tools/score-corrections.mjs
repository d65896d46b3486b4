// Makes a virtual vehicle, corrects its tables, and scores them against the truth; beside them nearest-cell averages.
import { built } from "./built.mjs";
import { isWrongTube, optionsOf } from "./validate-corrections.mjs";

/** @typedef {import("./validate-corrections.mjs").Planned} Planned */
/** @typedef {import("./validate-corrections.mjs").Scored} Scored */
/** @typedef {import("./validate-corrections.mjs").Score} Score */
/** @typedef {import("../src/core/residuals/index.ts").Observations} Observations */
/** @typedef {import("../src/core/tables/index.ts").Table} Table */
/** @typedef {import("../src/core/virtual-engine/index.ts").TableTruth} TableTruth */

const ROLES = ["air.ve", "air.meter-curve", "idle.base-airflow", "fuel.injector-flow", "fuel.injector-dead-time"];
const COVERED_S = 2;
const UNVISITED_S = 0.5;
const WITHIN_90 = 1.645;

/** @param {Planned} plan
 * @returns {Promise<Scored>}
 */
export async function scoredVehicle(plan) {
  const engine = await built("core/virtual-engine/index");
  const { observe } = await built("core/residuals/index");
  const { calibrationOf } = await built("core/tables/index");
  const made = engine.makePacket(plan.seed, optionsOf(plan));
  const { intake, asReceived: calibration } = made.packet;
  const startMs = performance.now();
  const first = await corrected(made.packet, calibration, made.packet.recordings);
  const milliseconds = performance.now() - startMs;
  const naive = nearestCellAverages(first.observations, calibration);
  /** @type {Scored["roles"]} */
  const roles = {};
  for (const role of ROLES) {
    /** @type {TableTruth | undefined} */
    const truth = made.truth.corrections[role];
    if (truth === undefined) continue;
    const proposal = first.proposals.find((each) => each.role === role);
    const shown = proposal?.after.cells ?? truth.asReceived;
    const isHeld = proposal?.heldBecause !== undefined;
    roles[role] = {
      asReceived: scoreOf(truth.asReceived, truth, role),
      ...(naive[role] === undefined ? {} : { naive: scoreOf(naive[role], truth, role) }),
      fettle: scoreOf(isHeld ? truth.asReceived : shown, truth, role),
      shown: scoreOf(shown, truth, role, proposal?.sd),
      ...(isHeld ? { held: proposal.heldBecause } : {}),
      proposed: proposal !== undefined,
    };
  }
  /** @type {Scored} */
  const scored = {
    seed: plan.seed,
    kind: plan.kind,
    ...(isWrongTube(plan) ? { tube: true } : {}),
    meter: intake.sensors?.airMeterFitted === true,
    wideband: intake.sensors?.widebandFitted === true,
    leading: first.suspects[0]?.fault ?? "healthy",
    roles,
    milliseconds,
  };
  if (!plan.again) return scored;
  const accepted = new Map(
    first.proposals.filter((each) => each.heldBecause === undefined).map((each) => [each.role, each.after]),
  );
  const applied = calibrationOf(
    calibration.tables.map((/** @type {Table} */ each) => accepted.get(/** @type {any} */ (each.role)) ?? each),
  );
  const next = engine.driveAgain(made, applied, plan.seed + 7_000_000);
  const second = await corrected(made.packet, applied, next.recordings);
  /** @type {NonNullable<Scored["again"]>} */
  const again = {};
  for (const role of ROLES.slice(0, 3)) {
    const truth = next.corrections[role];
    if (truth === undefined) continue;
    const proposal = second.proposals.find((each) => each.role === role && each.heldBecause === undefined);
    again[role] = {
      asReceived: scoreOf(truth.asReceived, truth, role),
      fettle: scoreOf(proposal?.after.cells ?? truth.asReceived, truth, role),
    };
  }
  return { ...scored, again };

  /** @param {typeof made.packet} packet @param {typeof calibration} tables @param {readonly unknown[]} recordings */
  async function corrected(packet, tables, recordings) {
    const { diagnose } = await built("core/faults/index");
    const { proposeCorrections } = await built("core/corrections/index");
    const { reference } = packet;
    /** @type {Observations[]} */
    const observations = recordings.map((recording) => observe(recording, tables, intake));
    const { suspects, repairFirst } = diagnose({ observations, calibration: tables, reference, intake });
    const input = { calibration: tables, reference, intake, observations, suspects, repairFirst, findings: [] };
    /** @type {import("../src/core/corrections/index.ts").CorrectionProposal[]} */
    const proposals = proposeCorrections(input).proposals;
    return { observations, suspects, proposals };
  }
}

/** @param {Float64Array} cells @param {TableTruth} truth @param {string} role @param {Float64Array} [sd] @returns {Score} */
function scoreOf(cells, truth, role, sd) {
  const isWhole = role.startsWith("fuel.");
  const dwell = (/** @type {number} */ k) => (isWhole ? COVERED_S : (truth.dwellS[k] ?? 0));
  const errorLn = (/** @type {number} */ k) => Math.log((cells[k] ?? Number.NaN) / (truth.true[k] ?? Number.NaN));
  const all = Array.from(cells.keys()).filter((k) => Number.isFinite(errorLn(k)));
  const covered = all.filter((k) => dwell(k) >= COVERED_S);
  const unvisited = all.filter((k) => truth.reachable?.[k] === 1 && dwell(k) < UNVISITED_S);
  const rms = (/** @type {readonly number[]} */ of, /** @type {(k: number) => number} */ weight) => {
    const total = of.reduce((sum, k) => sum + weight(k), 0);
    return 100 * Math.sqrt(of.reduce((sum, k) => sum + weight(k) * errorLn(k) ** 2, 0) / total);
  };
  return {
    covered: rms(covered, dwell),
    worst: 100 * Math.max(...covered.map((k) => Math.abs(errorLn(k)))),
    unvisited: rms(unvisited, () => 1),
    ...(sd === undefined
      ? {}
      : {
          within90: covered.filter((k) => Math.abs(errorLn(k)) <= WITHIN_90 * (sd[k] ?? 0)).length / covered.length,
          cells: covered.length,
        }),
    ...(role === "air.ve" ? roughness(cells, truth) : {}),
  };
}

/** Second differences in ln along both axes over those of the truth, in covered cells, and the share of steps larger than the truth's largest.
 * @param {Float64Array} cells @param {TableTruth} truth
 */
function roughness(cells, truth) {
  const columns = truth.x.length;
  const ln = (/** @type {Float64Array} */ of, /** @type {number} */ k) => Math.log(of[k] ?? Number.NaN);
  let [mine, its, steps, large, largest] = [0, 0, 0, 0, 0];
  /** @type {number[]} */
  const sizes = [];
  for (let k = 0; k < cells.length; k++)
    for (const stride of [1, columns]) {
      const isInside = stride === 1 ? k % columns < columns - 2 : k + 2 * columns < cells.length;
      const all = [k, k + stride, k + 2 * stride];
      if (!isInside || all.some((at) => truth.reachable?.[at] !== 1)) continue;
      const isCovered = all.every((at) => (truth.dwellS[at] ?? 0) >= COVERED_S);
      const second = (/** @type {Float64Array} */ of) => ln(of, k) - 2 * ln(of, k + stride) + ln(of, k + 2 * stride);
      mine += isCovered ? second(cells) ** 2 : 0;
      its += isCovered ? second(truth.true) ** 2 : 0;
      sizes.push(Math.abs(ln(cells, k + stride) - ln(cells, k)));
      largest = Math.max(largest, Math.abs(ln(truth.true, k + stride) - ln(truth.true, k)));
    }
  for (const size of sizes) {
    steps++;
    // Half a per cent over the largest is the sheet's rounding, not a step.
    if (size > largest + 0.005) large++;
  }
  return { smoothness: Math.sqrt(mine / its), steps: steps === 0 ? 0 : large / steps };
}

const NAIVE_WARM_C = 75;
const NAIVE_STEADY = 0.5;

/** Today's practice with care: each warm steady residual averaged into the nearest cell; cells seen for less than two seconds stay.
 * @param {readonly Observations[]} observations
 * @param {{ readonly byRole: Readonly<Record<string, Table | undefined>> }} calibration
 * @returns {Record<string, Float64Array>}
 */
function nearestCellAverages(observations, calibration) {
  const meter = (/** @type {Observations} */ o, /** @type {number} */ i) =>
    at(o.fuelResidual, i) - (at(o.usesMeter, i) === 1 ? 0 : at(o.modelResidual, i));
  const ve = (/** @type {Observations} */ o, /** @type {number} */ i) =>
    at(o.fuelResidual, i) + (at(o.usesMeter, i) === 1 ? at(o.modelResidual, i) : 0);
  const isWarm = (/** @type {Observations} */ o, /** @type {number} */ i) =>
    !(at(o.ectC, i) < NAIVE_WARM_C) && at(o.steadiness, i) > NAIVE_STEADY;
  const idleLn = (/** @type {Observations} */ o, /** @type {number} */ i) =>
    Math.log(
      (at(o.controllerGps, i) * Math.exp(at(o.fuelResidual, i))) /
        curveAt(calibration.byRole["idle.base-airflow"], at(o.ectC, i)),
    );
  const isIdle = (/** @type {Observations} */ o, /** @type {number} */ i) => Number.isFinite(at(o.idleResidualGps, i));
  return {
    ...averaged("air.ve", (o, i) => [at(o.rpm, i), at(o.mapKpa, i)], ve, isWarm),
    ...averaged("air.meter-curve", (o, i) => [at(o.mafHz, i), 0], meter, isWarm),
    ...averaged("idle.base-airflow", (o, i) => [at(o.ectC, i), 0], idleLn, isIdle),
  };

  /** @param {string} role
   * @param {(o: Observations, i: number) => readonly [number, number]} place
   * @param {(o: Observations, i: number) => number} ln
   * @param {(o: Observations, i: number) => boolean} counts
   */
  function averaged(role, place, ln, counts) {
    const own = calibration.byRole[role];
    if (own?.x === undefined) return {};
    const sums = new Float64Array(own.cells.length);
    const seconds = new Float64Array(own.cells.length);
    for (const o of observations)
      for (let i = 0; i < o.n; i++) {
        const value = counts(o, i) ? ln(o, i) : Number.NaN;
        const [x, y] = place(o, i);
        if (!Number.isFinite(value + x + y)) continue;
        const k = nearest(own.y?.values ?? Float64Array.of(0), y) * own.x.values.length + nearest(own.x.values, x);
        sums[k] = at(sums, k) + value * o.dtS;
        seconds[k] = at(seconds, k) + o.dtS;
      }
    return {
      [role]: own.cells.map((cell, k) =>
        at(seconds, k) >= COVERED_S ? cell * Math.exp(at(sums, k) / at(seconds, k)) : cell,
      ),
    };
  }
}

/** @param {Table | undefined} table @param {number} x */
function curveAt(table, x) {
  if (table?.x === undefined) return Number.NaN;
  const { values } = table.x;
  const above = Array.from(values).findIndex((value) => value >= x);
  if (above <= 0) return table.cells[above === 0 ? 0 : values.length - 1] ?? Number.NaN;
  const [low, high] = [values[above - 1] ?? 0, values[above] ?? 1];
  const [from, to] = [table.cells[above - 1] ?? 0, table.cells[above] ?? 0];
  return from + ((to - from) * (x - low)) / (high - low);
}

/** @param {Float64Array} axis @param {number} value */
function nearest(axis, value) {
  let best = 0;
  for (let k = 1; k < axis.length; k++) if (Math.abs(at(axis, k) - value) < Math.abs(at(axis, best) - value)) best = k;
  return best;
}

/** @param {Float64Array} values @param {number} k */
function at(values, k) {
  return values[k] ?? Number.NaN;
}
