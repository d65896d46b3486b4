import type { Context } from "../context.ts";
import { bullets, htmlTable, text } from "../html.ts";
import type { FileRecord } from "../model.ts";
import { cautionHtml, type Section } from "../page.ts";

export function couldNotSection({ model, texts }: Context): Section {
  const t = texts.couldNot;
  const { couldNot } = model.result;
  const isVoid = couldNot.length === 0;
  return { id: "left-out", heading: texts.sections.couldNot, lead: isVoid ? t.none : t.lead, blocks: [linesHtml(couldNot, t.more)], isVoid };
}

/** Lines that differ only in names and numbers are told by the first of them, the others folded away behind it. */
export function linesHtml(lines: readonly string[], more: (n: number) => string): string {
  const kinds = new Map<string, string[]>();
  for (const line of lines) {
    const kind = line.replace(/\S*[./]\S+/g, "…").replace(/\d+/g, "#");
    kinds.set(kind, [...(kinds.get(kind) ?? []), line]);
  }
  const items = [...kinds.values()].flatMap((group) => {
    if (group.length < 4) return group.map((line) => `<li>${text(line)}</li>`);
    const [first, ...others] = group;
    return [`<li>${text(first!)}<details class="more"><summary>${text(more(others.length))}</summary>${bullets(others, "small")}</details></li>`];
  });
  return items.length === 0 ? "" : `<ul>${items.join("")}</ul>`;
}

/** What holds for the whole job: who decides, the law, the fuel. */
export function cautionsSection({ texts }: Context): Section {
  const { first, law, fuel } = texts.cautions;
  return { id: "before-you-go-on", heading: texts.sections.cautions, lead: "", blocks: [first, law, fuel].map(cautionHtml) };
}

export function filesSection(context: Context): Section {
  const { model, texts } = context;
  const files = model.files ?? [];
  return { id: "files", heading: texts.sections.files, lead: files.length === 0 ? "" : texts.files.lead, blocks: filesTables(context, files) };
}

export function filesTables({ texts }: Context, files: readonly FileRecord[]): string[] {
  const t = texts.files;
  const of = (direction: "read" | "written", title: string): string => {
    const chosen = files.filter((file) => (file.direction ?? "read") === direction);
    if (chosen.length === 0) return "";
    const rows = chosen.map((file) => [text(file.path), file.bytes === undefined ? "" : String(file.bytes), `<span class="hash">${text(file.sha256)}</span>`]);
    return `<div class="entry"><h3>${text(title)}</h3>${htmlTable({ caption: title, heads: [t.heads.path, t.heads.bytes, t.heads.hash], rows, numeric: [1], className: "files" })}</div>`;
  };
  return [of("read", t.read), of("written", t.written)].filter((table) => table !== "");
}
