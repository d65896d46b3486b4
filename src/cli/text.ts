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

/** Rows in columns, the last one wrapped to what is left of the line. */
export function columns(rows: readonly (readonly string[])[]): string[] {
  const count = Math.max(0, ...rows.map((row) => row.length));
  const widths = Array.from({ length: Math.max(0, count - 1) }, (_, i) => Math.max(...rows.map((row) => (row[i] ?? "").length)));
  return rows.map((row) => {
    const head = widths.map((width, i) => (row[i] ?? "").padEnd(width)).join("  ");
    const indent = head.length + (widths.length === 0 ? 0 : 2);
    const last = row[count - 1] ?? "";
    // Where the columns leave no room for words, the words get lines of their own.
    if (indent > WIDTH - 24) return `${head.trimEnd()}\n${wrapped(last, 4)}`;
    return (head + wrapped(last, indent, widths.length === 0 ? 0 : 2)).trimEnd();
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
