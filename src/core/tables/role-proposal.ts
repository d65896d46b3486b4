import { parseUnit } from "../units/index.ts";
import { bestAssignment } from "./assignment.ts";
import { shapeOf } from "./role-fit.ts";
import { ROLE_HINTS, type RoleHint, WORDS, type WordRule } from "./role-proposal-words.ts";
import { describeRole, ROLES, type Role } from "./roles.ts";
import type { Axis, Table } from "./table.ts";

/** A role that a table seems to have, and why. */
export interface RoleProposal {
  readonly role: Role;
  /** 0–1. */
  readonly confidence: number;
  readonly because: string;
}

interface Scored {
  readonly score: number;
  readonly because: string;
}

const ROLE_IDS = Object.keys(ROLES) as Role[];
/** Below this a table stays without a role: a wrong role does more harm than none. */
const LEAST = 0.38;

/**
 * Roles for tables that state none, found together so that one role goes to one table: by the words of the title, the units of
 * cells and axes, the shape, and last the values.
 *
 * @param tables in the units as written
 * @param taken roles that other tables have already
 * @returns one entry a table; undefined where nothing fits well enough
 */
export function proposeRoles(tables: readonly Table[], taken: ReadonlySet<Role> = new Set()): (RoleProposal | undefined)[] {
  if (tables.length === 0) return [];
  const free = ROLE_IDS.filter((role) => !taken.has(role));
  if (free.length === 0) return tables.map(() => undefined);
  const scored = tables.map((table) => free.map((role) => scoreRole(table, role)));
  const assigned = bestAssignment(scored.map((row) => row.map(({ score }) => (score < LEAST ? 0 : score))));
  const proposals = assigned.map((column, i): RoleProposal | undefined => {
    if (column < 0) return undefined;
    const { score, because } = scored[i]![column]!;
    return { role: free[column]!, confidence: Math.min(1, score), because };
  });
  return settleSparkPair(tables, proposals);
}

/** Words of a title as concepts: "Spark, poor fuel" gives spark, low, fuel. */
export function wordsOfTitle(title: string): ReadonlySet<string> {
  const tokens = title
    .replace(/([a-z])([A-Z])/g, "$1 $2")
    .toLowerCase()
    .split(/[^a-z0-9]+/)
    .filter((word) => word !== "");
  const concepts = new Set<string>();
  for (let i = 0; i < tokens.length; i++)
    for (let length = 1; length <= 3 && i + length <= tokens.length; length++)
      for (const concept of WORDS.get(tokens.slice(i, i + length).join(" ")) ?? []) concepts.add(concept);
  return concepts;
}

function scoreRole(table: Table, role: Role): Scored {
  const hint = ROLE_HINTS[role];
  const shape = shapeScore(table, role);
  if (shape === 0) return { score: 0, because: "" };
  const unit = unitScore(table.unit, describeRole(role).unit, hint.alsoUnits);
  if (unit === 0) return { score: 0, because: "" };
  const axes = axesScore(table, role);
  if (axes === 0) return { score: 0, because: "" };
  const title = titleScore(wordsOfTitle(table.title), hint);
  const values = valueScore(table, hint);
  const score = 0.5 * title + 0.15 * unit + 0.2 * axes + 0.05 * shape + 0.1 * values;
  const reasons = [
    ...(title > 0.3 ? ["title"] : []),
    ...(unit >= 1 && table.unit !== "" ? ["unit"] : []),
    ...(axes >= 0.9 && table.x !== undefined ? ["axes"] : []),
    ...(table.x === undefined ? ["size"] : []),
    ...(values >= 1 ? ["values"] : []),
  ];
  return { score: title > 0 ? score : tellsWithoutTitle(table, role) ? 0.8 * score : 0, because: reasons.join(", ") || "shape" };
}

/** A title that says nothing leaves units and axes; a single value has only its unit, which must be one that no other table has. */
function tellsWithoutTitle(table: Table, role: Role): boolean {
  return table.x !== undefined || role === "fuel.stoich" || role === "driveline.tire-revs-per-km";
}

function shapeScore(table: Table, role: Role): number {
  const described = describeRole(role);
  const wanted = described.x === undefined ? "single" : described.y === undefined ? "curve" : "grid";
  const shape = shapeOf(table);
  if (shape === wanted) return 1;
  // A role with an optional second axis may be a curve; one row or one column says little.
  if (described.y?.optional === true && shape === "curve") return 1;
  if (wanted === "grid" && shape === "curve") return 0.3;
  return 0;
}

/** 1 the same quantity, 0.6 none given, 0.4 given but not known, 0 another quantity. */
function unitScore(written: string, wanted: string, also: readonly string[] = []): number {
  if (written.trim() === "") return 0.6;
  const unit = parseUnit(written);
  const target = parseUnit(wanted);
  if (unit === undefined || target === undefined) return 0.4;
  if (unit.quantity === target.quantity) return 1;
  if (also.some((other) => parseUnit(other)?.quantity === unit.quantity)) return 0.9;
  if (unit.quantity === "count" && (target.quantity === "share" || target.quantity === "state" || target.quantity === "mixture")) return 0.7;
  if (unit.quantity === "state" && target.quantity === "count") return 0.5;
  return 0;
}

function axesScore(table: Table, role: Role): number {
  const described = describeRole(role);
  const scores: number[] = [];
  if (described.x !== undefined) scores.push(axisScore(table.x, described.x));
  if (described.y !== undefined && table.y !== undefined) scores.push(axisScore(table.y, described.y));
  if (scores.length === 0) return 1;
  return scores.includes(0) ? 0 : scores.reduce((sum, score) => sum + score, 0) / scores.length;
}

function axisScore(axis: Axis | undefined, wanted: { name: string; unit: string }): number {
  if (axis === undefined) return 0.3;
  const unit = unitScore(axis.unit, wanted.unit);
  if (unit === 0) return 0;
  const have = wordsOfTitle(axis.name);
  const need = [...wordsOfTitle(wanted.name)];
  if (have.size === 0 || need.length === 0) return 0.85 * unit;
  const common = need.filter((word) => have.has(word)).length / need.length;
  return unit * (0.7 + 0.3 * common);
}

function titleScore(words: ReadonlySet<string>, hint: RoleHint): number {
  let best = 0;
  for (const rule of hint.titles) best = Math.max(best, ruleScore(words, rule));
  return best;
}

function ruleScore(words: ReadonlySet<string>, rule: WordRule): number {
  if (rule.never?.some((word) => words.has(word)) === true) return 0;
  let got = 0;
  let all = 0;
  for (const [word, weight] of Object.entries(rule.words)) {
    all += weight;
    if (words.has(word)) got += weight;
  }
  return all === 0 ? 0 : Math.min(1, got / all);
}

/** Share of cells in the range that the role is known by; an edited table may well lie outside, so it weighs little. */
function valueScore(table: Table, hint: RoleHint): number {
  const unit = parseUnit(table.unit);
  const [low, high] = hint.range;
  let inside = 0;
  for (const cell of table.cells) {
    const value = unit === undefined || unit.isReciprocal === true ? cell : hint.inBase === true ? cell * unit.scale + unit.offset : cell;
    if (value >= low && value <= high) inside++;
  }
  const share = inside / table.cells.length;
  if (hint.isWhole === true && !table.cells.every((cell) => Number.isInteger(cell))) return 0;
  return share;
}

/** Of two spark tables that titles do not tell apart, the one with less advance is for poor fuel. */
function settleSparkPair(tables: readonly Table[], proposals: (RoleProposal | undefined)[]): (RoleProposal | undefined)[] {
  const main = proposals.findIndex((proposal) => proposal?.role === "spark.main");
  const low = proposals.findIndex((proposal) => proposal?.role === "spark.low-octane");
  if (main < 0 || low < 0) return proposals;
  if (wordsOfTitle(tables[low]!.title).has("low") !== wordsOfTitle(tables[main]!.title).has("low")) return proposals;
  const sum = (i: number): number => tables[i]!.cells.reduce((total, cell) => total + cell, 0) / tables[i]!.cells.length;
  if (sum(low) <= sum(main)) return proposals;
  const swapped = [...proposals];
  swapped[main] = { ...proposals[low]!, because: `${proposals[low]!.because}, less advance` };
  swapped[low] = { ...proposals[main]!, because: `${proposals[main]!.because}, more advance` };
  return swapped;
}
