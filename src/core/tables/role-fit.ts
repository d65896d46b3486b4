import { parseUnit } from "../units/index.ts";
import { ROLE_HINTS } from "./role-proposal-words.ts";
import { describeRole, type Role } from "./roles.ts";
import type { Table } from "./table.ts";

/**
 * Why a table cannot have a role, as a sentence; undefined where it can. Size and units decide: values are no reason, since an
 * edited table may hold anything. A unit that is missing, unknown, or says only that there is no dimension stands against nothing.
 *
 * @param table in the units as written
 */
export function roleMisfit(table: Table, role: Role): string | undefined {
  const described = describeRole(role);
  const named = `${described.name} (${role})`;
  const wanted = described.x === undefined ? "single" : described.y === undefined ? "curve" : "grid";
  const shape = shapeOf(table);
  const mayLackRows = wanted === "grid" && described.y?.optional === true && shape === "curve";
  if (shape !== wanted && !mayLackRows) return `"${table.title}" is ${SHAPES[shape]}, ${named} is ${SHAPES[wanted]}`;
  const parts = [
    { part: `the cells of "${table.title}"`, written: table.unit, wanted: described.unit, also: ROLE_HINTS[role].alsoUnits ?? [] },
    { part: `the columns of "${table.title}"`, written: table.x?.unit ?? "", wanted: described.x?.unit ?? "", also: [] },
    { part: `the rows of "${table.title}"`, written: table.y?.unit ?? "", wanted: described.y?.unit ?? "", also: [] },
  ];
  const odd = parts.find((each) => isOtherQuantity(each.written, [each.wanted, ...each.also]));
  return odd === undefined ? undefined : `${odd.part} are in ${odd.written}, ${named} has ${unitText(odd.wanted)} there`;
}

const SHAPES = { single: "a single value", curve: "a curve over one axis", grid: "a grid over two axes" } as const;

/** What a table is by its axes. */
export function shapeOf(table: Pick<Table, "x" | "y">): keyof typeof SHAPES {
  return table.x === undefined ? "single" : table.y === undefined ? "curve" : "grid";
}

function isOtherQuantity(written: string, wanted: readonly string[]): boolean {
  const unit = parseUnit(written);
  if (unit === undefined || unit.quantity === "count" || unit.quantity === "state") return false;
  return wanted.every((target) => {
    const quantity = parseUnit(target)?.quantity;
    return quantity !== undefined && quantity !== unit.quantity;
  });
}

function unitText(unit: string): string {
  return unit === "-" ? "plain numbers" : unit;
}
