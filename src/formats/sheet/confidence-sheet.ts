import type { TableSheet } from "./table-sheet.ts";

/**
 * The sheet that goes with a corrected table: one standard deviation of each cell, in the table's own unit and axes, and
 * below it nothing else, so that whoever reads tables reads this too. An empty cell: nothing is known of it.
 */
export function confidenceSheet(
  sheet: TableSheet,
  proposal: { readonly sd: Float64Array; readonly sdKind: "relative" | "absolute"; readonly after: { readonly cells: Float64Array } },
): string {
  const { native } = sheet.source;
  const scale = Math.abs(sheet.table.format?.scale ?? 1);
  const deviations = proposal.sd.map((sd, i) => {
    const canonical = proposal.sdKind === "relative" ? sd * Math.abs(proposal.after.cells[i]!) : sd;
    return canonical / scale;
  });
  const title = quoted(`${sheet.table.title}, standard deviation`);
  const head = [`table,${title}`, `deviation of,${proposalRole(sheet)}`, `unit,${quoted(sheet.units.cells)}`];
  if (native.x === undefined) return `${[...head, `value,${text(deviations[0]!)}`].join("\n")}\n`;
  head.push(`x,${quoted(sheet.table.x?.name ?? "")},${quoted(sheet.units.x ?? "")}`);
  if (native.y !== undefined) head.push(`y,${quoted(sheet.table.y?.name ?? "")},${quoted(sheet.units.y ?? "")}`);
  head.push(`data,${Array.from(native.x, String).join(",")}`);
  const columns = native.x.length;
  const rows = Array.from({ length: native.y?.length ?? 1 }, (_, row) => {
    const cells = Array.from(deviations.subarray(row * columns, (row + 1) * columns), text);
    return `${native.y === undefined ? "" : native.y[row]},${cells.join(",")}`;
  });
  return `${[...head, ...rows].join("\n")}\n`;
}

function proposalRole(sheet: TableSheet): string {
  return sheet.table.role ?? "";
}

/** Two digits are as many as a deviation deserves. */
function text(value: number): string {
  return Number.isFinite(value) ? String(Number(value.toPrecision(2))) : "";
}

function quoted(field: string): string {
  return /[",\n]/.test(field) ? `"${field.replaceAll('"', '""')}"` : field;
}
