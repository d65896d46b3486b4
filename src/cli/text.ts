const WIDTH = 80;

/** Text broken at spaces to lines of at most 80 columns; later lines are indented. A word longer than a line stands alone. */
export function wrapped(text: string, indent = 0, first = indent): string {
  const lines: string[] = [];
  let line = " ".repeat(first);
  let isEmpty = true;
  for (const word of text.split(/\s+/).filter((each) => each !== "")) {
    if (!isEmpty && line.length + 1 + word.length > WIDTH) {
      lines.push(line);
      line = " ".repeat(indent);
      isEmpty = true;
    }
    line += isEmpty ? word : ` ${word}`;
    isEmpty = false;
  }
  return [...lines, line].join("\n");
}

/** A heading and what stands under it; nothing when nothing does. */
export function block(heading: string, lines: readonly string[]): string {
  return lines.length === 0 ? "" : `${heading}\n${lines.join("\n")}\n`;
}

/** Where columns leave less room than this for the last one, its words get lines of their own. */
const LEAST_ROOM = 24;

/** Rows in columns, the last one wrapped to what is left of the line. */
export function columns(rows: readonly (readonly string[])[]): string[] {
  const count = Math.max(0, ...rows.map((row) => row.length));
  const widths = Array.from({ length: Math.max(0, count - 1) }, (_, i) => Math.max(...rows.map((row) => (row[i] ?? "").length)));
  return rows.map((row) => {
    const head = widths.map((width, i) => (row[i] ?? "").padEnd(width)).join("  ");
    const last = row[count - 1] ?? "";
    const indent = head.length + (widths.length === 0 ? 0 : 2);
    if (indent + last.length <= WIDTH || last === "") return (widths.length === 0 ? last : `${head}  ${last}`).trimEnd();
    return indent > WIDTH - LEAST_ROOM ? `${head.trimEnd()}\n${wrapped(last, 4)}` : `${head}${wrapped(last, indent, 2)}`;
  });
}

/** Parts of an answer with an empty line between; parts that are empty fall out. */
export function page(...parts: readonly string[]): string {
  return `${parts
    .map((part) => part.replace(/\n+$/, ""))
    .filter((part) => part !== "")
    .join("\n\n")}\n`;
}

export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** Files in rows: sheets of a calibration as a count, everything else by its path with a word on it. */
export function fileRows(files: readonly { readonly path: string }[], wordOn: (path: string, index: number) => string): string[][] {
  const sheets = new Map<string, number>();
  const rows: string[][] = [];
  files.forEach(({ path }, i) => {
    const folder = /^calibration\/[^/]+(?=\/)/.exec(path)?.[0];
    if (folder === undefined) rows.push([path, wordOn(path, i)]);
    else sheets.set(folder, (sheets.get(folder) ?? 0) + 1);
  });
  return [...[...sheets].map(([folder, count]) => [folder, counted(count, "sheet")]), ...rows];
}
