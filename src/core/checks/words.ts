import { type Axis, columnsOf, type Table } from "../tables/index.ts";

/** A number with no more digits than it deserves. */
export function plain(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return "unknown";
  if (value === 0) return "0";
  const rounded = Number(value.toPrecision(digits));
  return Math.abs(value) >= 10 ** (digits - 1) ? String(Math.round(value)) : String(rounded);
}

export function percent(fraction: number, digits = 2): string {
  return `${plain(fraction * 100, digits)} %`;
}

/** A change with its sign: +4.4 % */
export function signedPercent(factor: number): string {
  const change = (factor - 1) * 100;
  return `${change < 0 ? "−" : "+"}${plain(Math.abs(change), 2)} %`;
}

/** Where cells lie, in the words of the axes: "2400 to 3200 rpm, 0.4 to 0.6 g/cyl". */
export function where(table: Table, cells: readonly number[]): string {
  const columns = columnsOf(table);
  const parts: string[] = [];
  if (table.x !== undefined)
    parts.push(
      range(
        table.x,
        cells.map((c) => c % columns),
      ),
    );
  if (table.y !== undefined)
    parts.push(
      range(
        table.y,
        cells.map((c) => Math.floor(c / columns)),
      ),
    );
  return parts.join(", ");
}

function range(axis: Axis, indices: readonly number[]): string {
  const [low, high] = [axis.values[Math.min(...indices)]!, axis.values[Math.max(...indices)]!];
  const unit = axis.unit === "" || axis.unit === "-" ? axis.name.toLowerCase() : axis.unit;
  return low === high ? `${plain(low, 4)} ${unit}` : `${plain(low, 4)} to ${plain(high, 4)} ${unit}`;
}

export function largest(values: ArrayLike<number>): number {
  return Math.max(...Array.from(values));
}

export function counted(n: number, one: string, many = `${one}s`): string {
  return n === 1 ? `one ${one}` : `${n} ${many}`;
}
