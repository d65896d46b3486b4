import type { CellDecision } from "../../core/tables/index.ts";

/** How a cell stands: nothing decided, the fit taken, held at what it was, or set by hand. */
export type CellState = "open" | "accepted" | "held" | "hand";

/** State of each cell after decisions in their order. */
export function cellStates(count: number, columns: number, decisions: readonly CellDecision[]): readonly CellState[] {
  const states = new Array<CellState>(count).fill("open");
  const rows = count / columns;
  for (const { decision, region, cells } of decisions) {
    if (decision === "edit") {
      for (const { row, column } of cells ?? []) if (row < rows && column < columns) states[row * columns + column] = "hand";
      continue;
    }
    const [[r0, c0], [r1, c1]] = region ?? [
      [0, 0],
      [rows - 1, columns - 1],
    ];
    for (let r = r0; r <= Math.min(r1, rows - 1); r++)
      for (let c = c0; c <= Math.min(c1, columns - 1); c++) states[r * columns + c] = decision === "hold" ? "held" : "accepted";
  }
  return states;
}

/** 0 not seen, 1 over ±3 %, 2 within ±3 %, 3 within ±1 %: as the report draws it. */
export function solidityOf(value: number, deviation: number, samples: number): 0 | 1 | 2 | 3 {
  if (!(samples > 0)) return 0;
  const percent = Math.abs((100 * deviation) / value);
  if (!Number.isFinite(percent)) return 3;
  return percent > 3 ? 1 : percent > 1 ? 2 : 3;
}

/** Half-width of the interval that holds nine cases of ten, in deviations. */
export const NINE_OF_TEN = 1.645;
export const SOLIDITY_WORDS = ["not seen", "over ±3 %", "±1 to 3 %", "within ±1 %"] as const;

/** What is known of one cell, in the units shown. */
export interface CellFacts {
  readonly place: string;
  readonly unit: string;
  readonly base: number;
  readonly now: number;
  readonly asked: number | undefined;
  readonly deviation: number;
  readonly samples: number;
  readonly state: CellState;
  /** Repair that holds the whole table, in words. */
  readonly heldFor: string | undefined;
  readonly decimals: number;
}

/** One sentence on a cell: what it is, what is asked, how sure, and what holds it back. */
export function cellWords(cell: CellFacts): string {
  const figure = (value: number): string => `${value.toFixed(cell.decimals)}${cell.unit === "" ? "" : ` ${cell.unit}`}`;
  const said = [`${cell.place}: ${figure(cell.base)}`];
  if (cell.asked !== undefined && cell.asked !== cell.base) said.push(`${figure(cell.asked)} asked for (${change(cell.base, cell.asked)})`);
  if (Number.isFinite(cell.deviation) && cell.samples > 0) said.push(`±${(NINE_OF_TEN * cell.deviation).toPrecision(2)} in nine cases of ten`);
  const seen = cell.asked === undefined ? "" : cell.samples > 0 ? ` Seen in ${count(cell.samples)}.` : "";
  return `${said.join(", ")}.${seen} ${standing(cell, figure)}`.trim();
}

function standing(cell: CellFacts, figure: (value: number) => string): string {
  switch (cell.state) {
    case "accepted":
      return `Accepted: ${figure(cell.now)} goes into the next revision.`;
    case "hand":
      return `Set by hand to ${figure(cell.now)}.`;
    case "held":
      return "Held at what it was.";
    case "open":
      return openWords(cell);
  }
}

function openWords(cell: CellFacts): string {
  if (cell.asked === undefined) return "The recordings ask for nothing here.";
  if (cell.heldFor !== undefined) return `Held back until the repair: ${cell.heldFor}.`;
  if (cell.asked === cell.base) return cell.samples > 0 ? "It is right within what the table's own steps can say." : "Held back: the engine was never here.";
  return cell.samples > 0 ? "Not decided." : "The engine was never here: it follows its neighbours, the more doubtful the less. Not decided.";
}

function count(samples: number): string {
  const whole = Math.max(1, Math.round(samples));
  return whole === 1 ? "1 independent sample" : `${whole} independent samples`;
}

function change(from: number, to: number): string {
  if (Math.abs(from) < 1e-9) return signed(to - from);
  return `${signed(100 * (to / from - 1))} %`;
}

function signed(value: number): string {
  return `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)}`;
}
