import type { CellFormat } from "../../core/tables/index.ts";
import { decimalsOf, splitKeepingPlaces, type TableSheet } from "./table-sheet.ts";

/** A cell in the sheet's own unit, with so many decimals, trailing zeros as the sheet has them. */
function cellText(canonical: number, format: CellFormat, decimals: number, sheet: TableSheet, keepsZeros: boolean): string {
  const native = format.isReciprocal === true ? format.scale / canonical : (canonical - format.offset) / format.scale;
  let text = native.toFixed(Math.min(20, decimals));
  if (!keepsZeros && text.includes(".")) text = text.replace(/\.?0+$/, "");
  if (/^-0(\.0*)?$/.test(text)) text = text.slice(1);
  return sheet.source.decimal === "," ? text.replace(".", ",") : text;
}

/**
 * The sheet with other cells, as bytes. Cells that do not change keep their text to the byte, as does everything around them.
 *
 * @param cells canonical values, as in `sheet.table.cells`
 * @throws RangeError when the number of cells differs or one is not finite
 */
export function writeTableSheet(sheet: TableSheet, cells: ArrayLike<number>): Uint8Array {
  const old = sheet.table.cells;
  if (cells.length !== old.length) throw new RangeError(`${sheet.file}: ${cells.length} cells given, ${old.length} wanted`);
  const format = sheet.table.format!;
  const columns = sheet.table.x?.values.length ?? 1;
  const keepsZeros = sheet.source.cells.some((cell) => cell.text.includes(sheet.source.decimal) && cell.text.endsWith("0"));
  const fieldsByLine = new Map<number, string[]>();
  for (let i = 0; i < old.length; i++) {
    if (cells[i] === old[i]) continue;
    if (!Number.isFinite(cells[i]!)) throw new RangeError(`${sheet.file}: cell ${i} is ${cells[i]}`);
    const place = sheet.source.cells[i]!;
    const fields = fieldsByLine.get(place.line) ?? splitKeepingPlaces(sheet.source.lines[place.line]!, sheet.source.delimiter);
    fieldsByLine.set(place.line, fields);
    const decimals = keepsZeros ? columnDecimals(sheet, i % columns, columns) : format.decimals;
    fields[place.field] = fields[place.field]!.replace(place.text, cellText(cells[i]!, format, decimals, sheet, keepsZeros));
  }
  const text = sheet.source.lines.map((line, i) => (fieldsByLine.get(i)?.join(sheet.source.delimiter) ?? line) + sheet.source.ends[i]!).join("");
  return new TextEncoder().encode(sheet.source.hasByteOrderMark ? `\uFEFF${text}` : text);
}

function columnDecimals(sheet: TableSheet, column: number, columns: number): number {
  let most = 0;
  for (let i = column; i < sheet.source.cells.length; i += columns) most = Math.max(most, decimalsOf(sheet.source.cells[i]!.text, sheet.source.decimal));
  return most;
}
