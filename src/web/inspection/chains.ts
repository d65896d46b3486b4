import type { TableView } from "../../api/index.ts";
import { type ChainStep, chain, type Picture } from "../../drawing/index.ts";
import { shownIn, type UnitSystem } from "../state/units.ts";

/** A member of a chain: a table by its role, or what the controller or the engine makes of it. */
interface Member {
  readonly part: string;
  readonly role?: string;
  readonly name?: string;
  readonly says: string;
}

/** Tables that depend on one another where a check found that they do not fit, and the link that gives way. */
interface ChainPlan {
  readonly checks: readonly string[];
  readonly title: string;
  readonly caption: string;
  readonly members: readonly Member[];
  readonly brokenAfter: number;
  readonly broken: string;
}

const PULSE: Member = { part: "effect", name: "Injection time", says: "too long or too short for the air drawn" };

/** How the controller reckons: common practice for speed-density and airflow-meter controllers, no published source. */
const PLANS: readonly ChainPlan[] = [
  {
    checks: ["torque.reduction-without-effect"],
    title: "Torque reduction in shifts",
    caption: "The share asked for is looked up backwards in the torque lost to retard; where that is nothing, nothing is taken away.",
    members: [
      { part: "request", role: "torque.shift-reduction", says: "asks for a share of torque" },
      { part: "look-up", role: "torque.spark-loss", says: "gives no torque for any retard" },
      { part: "effect", name: "Retard during the shift", says: "none" },
    ],
    brokenAfter: 1,
    broken: "finds nothing",
  },
  {
    checks: ["idle.airflow-below-engine"],
    title: "Air at idle",
    caption: "The base airflow is what the throttle opens for; what it lacks, the learned part has to make up for, as far as its limit.",
    members: [
      { part: "request", role: "idle.target-speed", says: "the speed to hold" },
      { part: "look-up", role: "idle.base-airflow", says: "less air than the engine draws" },
      { part: "made up for", name: "Learned idle air", says: "carries the rest, up to its limit" },
      { part: "effect", role: "throttle.area-curve", says: "opens for the sum" },
    ],
    brokenAfter: 1,
    broken: "falls short",
  },
  {
    checks: ["air.meter-only"],
    title: "Where the air comes from",
    caption: "Above the switch speed the airflow meter gives the air, below it the VE table; a switch speed of nothing leaves the meter alone.",
    members: [
      { part: "model", role: "air.ve", says: "would give the air at low speed" },
      { part: "switch", role: "air.model-switch-speed", says: "never asks it" },
      { part: "meter", role: "air.meter-curve", says: "gives the air alone" },
      { part: "effect", role: "fuel.injector-flow", says: "fuel follows the meter, right or wrong" },
    ],
    brokenAfter: 0,
    broken: "not asked",
  },
  {
    checks: ["air.ve-not-the-engine"],
    title: "From filling to fuel",
    caption: "Filling gives the air of a cylinder, air gives the fuel; an error in the first goes through to the last.",
    members: [
      { part: "look-up", role: "air.ve", says: "not what this engine fills" },
      { part: "reckoned", name: "Air per cylinder", says: "off by the same share" },
      { part: "look-up", role: "fuel.injector-flow", says: "turns it into time" },
      PULSE,
    ],
    brokenAfter: 0,
    broken: "off",
  },
  {
    checks: ["fuel.injector-flow-shape", "fuel.injector-flow-implausible", "fuel.stoich-not-the-fuel"],
    title: "From air to injection time",
    caption: "Air over the stoichiometric ratio is fuel; fuel over the injector's flow at its pressure is time, and the dead time is added.",
    members: [
      { part: "reckoned", role: "fuel.stoich", says: "fuel for the air drawn" },
      { part: "look-up", role: "fuel.injector-flow", says: "flow at the pressure across the injector" },
      { part: "added", role: "fuel.injector-dead-time", says: "by battery voltage" },
      PULSE,
    ],
    brokenAfter: 1,
    broken: "does not fit",
  },
  {
    checks: ["fuel.full-load-too-lean"],
    title: "Mixture at full load",
    caption: "Past a throttle angle the mixture follows the full-load table alone.",
    members: [
      { part: "request", role: "fuel.full-load-throttle", says: "from this opening on" },
      { part: "look-up", role: "fuel.full-load-ratio", says: "too little fuel" },
      { part: "effect", name: "Mixture at full load", says: "lean, hot, close to knock" },
    ],
    brokenAfter: 1,
    broken: "lean",
  },
  {
    checks: ["trans.lockup-modulated"],
    title: "Converter clutch",
    caption: "The duty is held above its minimum for the torque; too low a minimum lets a single-disc clutch slip.",
    members: [
      { part: "request", name: "Lock-up wanted", says: "at steady speed" },
      { part: "look-up", role: "trans.lockup-duty-minimum", says: "lets the duty fall" },
      { part: "effect", name: "Slip of the clutch", says: "heat and a burnt lining" },
    ],
    brokenAfter: 1,
    broken: "does not hold",
  },
  {
    checks: ["trans.pressure-over-ceiling"],
    title: "Line pressure",
    caption: "A command above the ceiling makes the valve body let the pressure go.",
    members: [
      { part: "look-up", role: "trans.line-pressure", says: "asks for more with torque" },
      { part: "limit", role: "trans.line-pressure-ceiling", says: "is passed" },
      { part: "effect", name: "Pressure at the clutches", says: "let go when it is needed most" },
    ],
    brokenAfter: 1,
    broken: "let go",
  },
  {
    checks: ["trans.shift-time-zero"],
    title: "A shift",
    caption: "The clutch is given a time to take over in; without one it is filled at full pressure.",
    members: [
      { part: "request", role: "trans.shift-speed-up", says: "when to change" },
      { part: "look-up", role: "trans.shift-time", says: "asks for no time" },
      { part: "effect", role: "trans.line-pressure", says: "full pressure at once: it hits hard" },
    ],
    brokenAfter: 1,
    broken: "no time",
  },
];

/** A member of a chain and the arrow after it need so much room to be read. */
const MEMBER_PX = 270;

/** Checks whose findings are shown as a chain. */
export const CHAINED_CHECKS: readonly string[] = PLANS.flatMap((plan) => plan.checks);

/** Whether a check speaks of tables that depend on one another. */
export function hasChain(check: string): boolean {
  return CHAINED_CHECKS.includes(check);
}

/** The chain that a check speaks of, drawn; undefined for a check that concerns one table alone, or where none of its tables is here. */
export function chainOf(check: string, tables: readonly TableView[], system: UnitSystem, roomPx: number): Picture | undefined {
  const plan = PLANS.find((one) => one.checks.includes(check));
  if (plan === undefined) return undefined;
  const found = plan.members.map((member) => (member.role === undefined ? undefined : tables.find((table) => table.role === member.role)));
  const isKnown = plan.members.map((member, i) => member.role === undefined || found[i] !== undefined);
  // A chain with a table missing in its middle would tell a story that nobody can check.
  if (isKnown.some((known) => !known) || found.every((table) => table === undefined)) return undefined;
  const steps = plan.members.map(
    (member, i): ChainStep => ({
      part: member.part,
      name: found[i]?.title ?? member.name ?? "",
      says: withValue(member.says, found[i], system),
      profile: smallOf(found[i], system),
      isDead: i > plan.brokenAfter && i === plan.members.length - 1,
    }),
  );
  return chain({
    id: `chain-${check.replace(/\W/g, "-")}`,
    title: plan.title,
    caption: plan.caption,
    widthPx: Math.min(roomPx, MEMBER_PX * steps.length),
    steps,
    links: steps.slice(1).map((_, i) => ({ isBroken: i === plan.brokenAfter, ...(i === plan.brokenAfter ? { label: plan.broken } : {}) })),
  });
}

/** A single value has no profile: its figure stands in the words. */
function withValue(says: string, table: TableView | undefined, system: UnitSystem): string {
  const only = table?.x === undefined ? table?.asReceived?.[0] : undefined;
  if (table === undefined || only === undefined || only === null) return says;
  const shown = shownIn(table.unit, system);
  return `${Number(shown.show(only).toPrecision(4))} ${shown.unit}: ${says}`;
}

/** The table folded into its first, middle and last row. */
function smallOf(table: TableView | undefined, system: UnitSystem): ChainStep["profile"] {
  const { x, asReceived } = table ?? {};
  if (table === undefined || x === undefined || asReceived === undefined) return undefined;
  const columns = x.values.length;
  const rows = asReceived.length / columns;
  const value = shownIn(table.unit, system);
  const along = shownIn(x.unit, system);
  const chosen = [...new Set([0, Math.floor(rows / 2), rows - 1])];
  return {
    x: { name: x.name, unit: along.unit, values: x.values.map(along.show) },
    y: { name: table.title, unit: value.unit },
    lines: chosen.map((row) => asReceived.slice(row * columns, (row + 1) * columns).map((cell) => (cell === null ? Number.NaN : value.show(cell)))),
  };
}
