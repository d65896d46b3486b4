import { seededRandom } from "../../src/base/index.ts";
import { explainEdit } from "../../src/core/edits/index.ts";
import { PLANTED_KINDS, type PlantedEdit, plantEdit } from "./generator.ts";

/** Planted kind against reported kind, with the F1 of each kind; a reported kind that describes the edit as well counts as right. */
export interface Confusion {
  readonly counts: ReadonlyMap<string, ReadonlyMap<string, number>>;
  readonly macroF1: number;
  readonly right: number;
  readonly total: number;
  readonly wrong: readonly { readonly planted: PlantedEdit; readonly reported: string; readonly summary: string }[];
}

export function measureConfusion(firstSeed: number, perKind: number): Confusion {
  const counts = new Map<string, Map<string, number>>();
  const wrong: { planted: PlantedEdit; reported: string; summary: string }[] = [];
  for (const kind of PLANTED_KINDS) {
    const row = new Map<string, number>();
    for (let i = 0; i < perKind; i++) {
      const planted = plantEdit(kind, seededRandom(firstSeed + i * 101 + PLANTED_KINDS.indexOf(kind)));
      const edit = explainEdit(planted.received, planted.reference);
      const counted = planted.accept.includes(edit.kind) ? kind : edit.kind;
      row.set(counted, (row.get(counted) ?? 0) + 1);
      if (counted !== kind) wrong.push({ planted, reported: edit.kind, summary: edit.summary });
    }
    counts.set(kind, row);
  }
  const of = (a: string, b: string): number => counts.get(a)?.get(b) ?? 0;
  let f1 = 0;
  let right = 0;
  for (const kind of PLANTED_KINDS) {
    const hit = of(kind, kind);
    right += hit;
    const reported = PLANTED_KINDS.reduce((sum, k) => sum + of(k, kind), 0);
    f1 += (2 * hit) / Math.max(1, reported + perKind);
  }
  return { counts, macroF1: f1 / PLANTED_KINDS.length, right, total: perKind * PLANTED_KINDS.length, wrong };
}

/** The matrix as text: rows planted, columns reported. */
export function confusionText(confusion: Confusion): string {
  const head = `${"planted".padEnd(13)}${PLANTED_KINDS.map((k) => k.slice(0, 8).padStart(9)).join("")}`;
  const rows = PLANTED_KINDS.map((k) => `${k.padEnd(13)}${PLANTED_KINDS.map((c) => String(confusion.counts.get(k)?.get(c) ?? 0).padStart(9)).join("")}`);
  return [head, ...rows, `right ${confusion.right} of ${confusion.total}, macro F1 ${confusion.macroF1.toFixed(4)}`].join("\n");
}
