import type { Role } from "./roles.ts";

/** Breakpoints of one direction of a table, ascending. */
export interface Axis {
  readonly name: string;
  readonly unit: string;
  readonly values: Float64Array;
}

/**
 * A table, curve or single value of a calibration.
 *
 * `cells` is row-major: cell (row, column) is `cells[row * columns + column]`, rows run along `y`, columns along `x`.
 * A curve has no `y` and one row; a single value has neither axis and one cell.
 */
export interface Table {
  readonly title: string;
  readonly role?: Role;
  readonly unit: string;
  readonly x?: Axis;
  readonly y?: Axis;
  readonly cells: Float64Array;
  /** How the sheet writes the cells; absent: as computed. */
  readonly format?: CellFormat;
}

/** How a sheet writes a cell: `native = (canonical − offset) / scale`, with so many decimals in the native unit. */
export interface CellFormat {
  readonly unit: string;
  readonly scale: number;
  readonly offset: number;
  readonly decimals: number;
  /** The native unit is a reciprocal of the canonical one (lambda for an equivalence ratio): `native = scale / canonical`. */
  readonly isReciprocal?: boolean;
}

export function columnsOf(table: Table): number {
  return table.x?.values.length ?? 1;
}

export function rowsOf(table: Table): number {
  return table.y?.values.length ?? 1;
}

export function cellAt(table: Table, row: number, column: number): number {
  return table.cells[row * columnsOf(table) + column]!;
}

/** The same table with other cells. @throws RangeError when the number of cells differs. */
export function withCells(table: Table, cells: Float64Array): Table {
  if (cells.length !== table.cells.length) throw new RangeError(`${table.title}: ${cells.length} cells given, ${table.cells.length} wanted`);
  return { ...table, cells };
}

/** A single value with a role, in the role's own unit (for examples and tests). */
export function single(role: Role, unit: string, value: number): Table {
  return { title: role, role, unit, cells: Float64Array.of(value) };
}

/** A curve with a role (for examples and tests). */
export function curve(role: Role, unit: string, x: readonly number[], cells: readonly number[], xUnit = ""): Table {
  return { title: role, role, unit, x: { name: "x", unit: xUnit, values: Float64Array.from(x) }, cells: Float64Array.from(cells) };
}

/** A table with a role, rows given one by one (for examples and tests). */
export function grid(role: Role, unit: string, x: readonly number[], y: readonly number[], rows: readonly (readonly number[])[]): Table {
  return {
    title: role,
    role,
    unit,
    x: { name: "x", unit: "", values: Float64Array.from(x) },
    y: { name: "y", unit: "", values: Float64Array.from(y) },
    cells: Float64Array.from(rows.flat()),
  };
}
