import type { Role } from "./roles.ts";
import type { Table } from "./table.ts";

/** All tables of one controller, in canonical units. At most one table has each role; tables without a role are kept. */
export interface Calibration {
  readonly tables: readonly Table[];
  readonly byRole: Readonly<Partial<Record<Role, Table>>>;
}

/** Gathers tables; of two tables with one role the first in title order keeps it in `byRole`. */
export function calibrationOf(tables: readonly Table[]): Calibration {
  const byRole: Partial<Record<Role, Table>> = {};
  for (const table of [...tables].sort((a, b) => (a.title < b.title ? -1 : a.title > b.title ? 1 : 0)))
    if (table.role !== undefined && byRole[table.role] === undefined) byRole[table.role] = table;
  return { tables, byRole };
}
