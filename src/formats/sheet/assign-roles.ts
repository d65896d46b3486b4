import type { Problem } from "../../base/index.ts";
import { proposeRoles, type Role } from "../../core/tables/index.ts";
import { duplicateRoles, type TableSheet, withRole } from "./table-sheet.ts";

export interface AssignedSheets {
  readonly asReceived: readonly TableSheet[];
  readonly reference: readonly TableSheet[];
}

/** Gives sheets without a role one: first the role that a sheet of the same title has in the other calibration, then a proposal; says so. */
export function assignRoles(asReceived: readonly TableSheet[], reference: readonly TableSheet[], problems: Problem[], remarks: string[]): AssignedSheets {
  problems.push(...duplicateRoles(asReceived), ...duplicateRoles(reference));
  const stated = new Map<string, Role>();
  for (const sheet of [...asReceived, ...reference])
    if (sheet.statedRole !== undefined && !stated.has(sheet.table.title)) stated.set(sheet.table.title, sheet.statedRole);
  const first = assignOne(asReceived, stated, remarks, "the reference's sheet of the same title");
  const known = new Map(stated);
  for (const sheet of first) if (sheet.table.role !== undefined && !known.has(sheet.table.title)) known.set(sheet.table.title, sheet.table.role);
  const second = assignOne(reference, known, remarks, "the sheet of the same title as received");
  for (const sheet of [...first, ...second]) for (const remark of sheet.remarks) remarks.push(`${sheet.file}: ${remark}`);
  return { asReceived: first, reference: second };
}

function assignOne(sheets: readonly TableSheet[], byTitle: ReadonlyMap<string, Role>, remarks: string[], origin: string): TableSheet[] {
  const taken = new Set<Role>();
  const roles = sheets.map((sheet) => {
    if (sheet.statedRole === undefined || taken.has(sheet.statedRole)) return undefined;
    taken.add(sheet.statedRole);
    return sheet.statedRole;
  });
  sheets.forEach((sheet, i) => {
    const role = byTitle.get(sheet.table.title);
    if (roles[i] !== undefined || sheet.statedRole !== undefined || role === undefined || taken.has(role)) return;
    taken.add(role);
    roles[i] = role;
    remarks.push(`${sheet.file}: no role given; taken as ${role} from ${origin}`);
  });
  const open = sheets.map((_, i) => i).filter((i) => roles[i] === undefined && sheets[i]!.statedRole === undefined);
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
