import type { Problem } from "../../base/index.ts";
import { proposeRoles, type Role, roleMisfit } from "../../core/tables/index.ts";
import { duplicateRoles, type TableSheet, withRole } from "./table-sheet.ts";

export interface AssignedSheets {
  readonly asReceived: readonly TableSheet[];
  readonly reference: readonly TableSheet[];
}

/** Roles that a person gave tables, by title; "none": the table has none of those known here. */
export type RolesByHand = Readonly<Record<string, Role | "none">>;

/**
 * Gives sheets without a role one: first the role that a sheet of the same title has in the other calibration, then a proposal; says so.
 * What a person said of a title goes before what its sheets state, and takes the role from another table that states it.
 */
export function assignRoles(
  asReceivedAsRead: readonly TableSheet[],
  referenceAsRead: readonly TableSheet[],
  problems: Problem[],
  remarks: string[],
  byHand: RolesByHand = {},
): AssignedSheets {
  const said = new Map(Object.entries(byHand));
  const asReceived = withHand(asReceivedAsRead, said, remarks);
  const reference = withHand(referenceAsRead, said, remarks);
  problems.push(...duplicateRoles(asReceived.sheets), ...duplicateRoles(reference.sheets));
  const stated = new Map<string, Role>();
  for (const sheet of [...asReceived.sheets, ...reference.sheets])
    if (sheet.statedRole !== undefined && !stated.has(sheet.table.title)) stated.set(sheet.table.title, sheet.statedRole);
  const first = assignOne(asReceived, stated, remarks, "the reference's sheet of the same title");
  const known = new Map(stated);
  for (const sheet of first) if (sheet.table.role !== undefined && !known.has(sheet.table.title)) known.set(sheet.table.title, sheet.table.role);
  const second = assignOne(reference, known, remarks, "the sheet of the same title as received");
  for (const sheet of [...first, ...second]) for (const remark of sheet.remarks) remarks.push(`${sheet.file}: ${remark}`);
  return { asReceived: first, reference: second };
}

/** Sheets after a person's word, and those of them that are to stay without a role. */
interface HeldToHand {
  readonly sheets: readonly TableSheet[];
  readonly left: ReadonlySet<TableSheet>;
}

/** Sheets as if they stated what a person said of their titles. */
function withHand(sheets: readonly TableSheet[], said: ReadonlyMap<string, Role | "none">, remarks: string[]): HeldToHand {
  const given = rolesGiven(sheets, said, remarks);
  const taker = new Map([...given].map(([sheet, role]) => [role, sheet]));
  const left = new Set<TableSheet>();
  const leave = (sheet: TableSheet): TableSheet => {
    const { statedRole: _before, ...without } = withRole(sheet, undefined);
    left.add(without);
    return without;
  };
  const held = sheets.map((sheet) => {
    const role = given.get(sheet);
    if (role !== undefined) {
      if (role !== sheet.statedRole) remarks.push(`${sheet.file}: taken as ${role}, as chosen by hand`);
      return { ...withRole(sheet, role), statedRole: role };
    }
    if (said.get(sheet.table.title) === "none") {
      remarks.push(`${sheet.file}: "${sheet.table.title}" has no role known here, as chosen by hand: kept, not used`);
      return leave(sheet);
    }
    const other = sheet.statedRole === undefined ? undefined : taker.get(sheet.statedRole);
    if (other === undefined) return sheet;
    remarks.push(`${sheet.file}: its role ${sheet.statedRole} was given to "${other.table.title}" by hand; this one is read without a role`);
    return leave(sheet);
  });
  return { sheets: held, left };
}

/** Roles chosen by hand that can hold: the table fits, and no earlier sheet of the title has it. */
function rolesGiven(sheets: readonly TableSheet[], said: ReadonlyMap<string, Role | "none">, remarks: string[]): Map<TableSheet, Role> {
  const given = new Map<TableSheet, Role>();
  const taken = new Map<Role, TableSheet>();
  for (const sheet of sheets) {
    const role = said.get(sheet.table.title);
    if (role === undefined || role === "none") continue;
    const first = taken.get(role);
    const against = roleMisfit(withRole(sheet, undefined).table, role) ?? (first && `${role} is already that of ${first.file}`);
    if (against !== undefined) remarks.push(`${sheet.file}: the role chosen by hand is passed over: ${against}`);
    else {
      given.set(sheet, role);
      taken.set(role, sheet);
    }
  }
  return given;
}

function assignOne({ sheets, left }: HeldToHand, byTitle: ReadonlyMap<string, Role>, remarks: string[], origin: string): TableSheet[] {
  const taken = new Set<Role>();
  const roles = sheets.map((sheet) => {
    if (sheet.statedRole === undefined || taken.has(sheet.statedRole)) return undefined;
    taken.add(sheet.statedRole);
    return sheet.statedRole;
  });
  sheets.forEach((sheet, i) => {
    const role = left.has(sheet) ? undefined : byTitle.get(sheet.table.title);
    if (roles[i] !== undefined || sheet.statedRole !== undefined || role === undefined || taken.has(role)) return;
    taken.add(role);
    roles[i] = role;
    remarks.push(`${sheet.file}: no role given; taken as ${role} from ${origin}`);
  });
  const open = sheets.map((_, i) => i).filter((i) => roles[i] === undefined && sheets[i]!.statedRole === undefined && !left.has(sheets[i]!));
  const proposals = proposeRoles(
    open.map((i) => sheets[i]!.table),
    taken,
  );
  open.forEach((i, k) => {
    const proposal = proposals[k];
    if (proposal === undefined) remarks.push(`${sheets[i]!.file}: no role given and none fits "${sheets[i]!.table.title}": kept, not used`);
    else {
      roles[i] = proposal.role;
      remarks.push(`${sheets[i]!.file}: no role given; ${proposal.role} proposed from ${proposal.because} (confidence ${proposal.confidence.toFixed(2)})`);
    }
  });
  return sheets.map((sheet, i) => (roles[i] === sheet.table.role ? sheet : withRole(sheet, roles[i])));
}
