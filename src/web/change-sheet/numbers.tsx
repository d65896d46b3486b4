import { useState } from "react";
import { CellGrid } from "./cell-grid.tsx";
import { cellWords, solidityOf } from "./cell-states.ts";
import { fromTabbed, toTabbed } from "./clipboard.ts";
import { applyOperation, type Operation, type Selection } from "./operations.ts";
import { changeOf, placeOf, type SheetTable } from "./sheet-table.ts";

/** The numbers behind the picture: move, type, operate on the selection, copy and paste; what the hand changes waits for a reason. */
export function Numbers(props: {
  readonly sheet: SheetTable;
  readonly working: Float64Array;
  readonly isDrafted: boolean;
  readonly selection: Selection;
  readonly select: (selection: Selection) => void;
  readonly whole: Selection;
  readonly draft: (cells: Float64Array) => void;
  readonly stepBack: () => void;
  readonly accept: (() => void) | undefined;
  readonly hold: () => void;
  readonly why: (row: number, column: number) => void;
  readonly heldFor: string | undefined;
}) {
  const { sheet, working, selection, whole } = props;
  const [head, setHead] = useState<readonly [number, number]>([0, 0]);
  const [amount, setAmount] = useState("");
  const [message, setMessage] = useState("");
  const grid = { columns: sheet.columns, cells: working };
  const axes = { x: sheet.x, y: sheet.y };
  const number = Number(amount.replace(",", "."));
  const isNumber = amount.trim() !== "" && Number.isFinite(number);
  const operate = (operation: Operation): void => {
    props.draft(applyOperation(grid, selection, operation, { x: sheet.x, y: sheet.y ?? [0] }));
    setMessage("");
  };
  const copy = (s: Selection): void => void navigator.clipboard.writeText(toTabbed(grid, s, axes)).then(() => setMessage("Copied with its axes."));
  const paste = (text: string): void => {
    const pasted = fromTabbed(text, grid, selection, axes);
    if (!("problem" in pasted)) props.draft(pasted.cells);
    setMessage("problem" in pasted ? pasted.problem : pasted.says);
  };
  const pasteFromBoard = (): void =>
    void navigator.clipboard.readText().then(paste, () => setMessage("The browser does not hand over the clipboard: press Ctrl V in the grid."));
  const limit = Math.max(1, ...Array.from(sheet.base, (before, i) => Math.abs(changeOf(before, working[i]!) ?? 0)));
  const at = head[0] * sheet.columns + head[1];
  const figure = (value: number): string => value.toFixed(sheet.decimals);
  const under = (i: number): string => {
    if (changeOf(sheet.base[i]!, working[i]!) !== undefined) return `was ${figure(sheet.base[i]!)}`;
    if (sheet.states[i] === "held") return "held";
    const asked = sheet.asked?.[i];
    return asked === undefined || figure(asked) === figure(sheet.base[i]!) ? "" : `→${figure(asked)}`;
  };
  const select = (next: Selection, to: readonly [number, number]): void => {
    props.select(next);
    setHead(to);
  };
  const keys = {
    ...(props.accept === undefined ? {} : { a: props.accept }),
    h: props.hold,
    w: () => props.why(head[0], head[1]),
    b: () => operate({ kind: "blend" }),
    i: () => operate({ kind: "between-edges" }),
    "Control z": props.stepBack,
  };
  const one = (name: string, kind: "set" | "add" | "multiply") => (
    <button type="button" disabled={!isNumber} onClick={() => operate({ kind, by: number })}>
      {name}
    </button>
  );
  return (
    <section className="numbers" aria-label="Numbers">
      <div className="operations">
        <label>
          <span>Amount [{sheet.value.unit === "" ? "–" : sheet.value.unit}]</span>
          <input value={amount} inputMode="decimal" onChange={(event) => setAmount(event.target.value)} />
        </label>
        <fieldset className="tools">
          <legend className="visually-hidden">On the selected cells</legend>
          {one("Set", "set")}
          {one("Add", "add")}
          {one("Multiply", "multiply")}
          <button type="button" onClick={() => operate({ kind: "blend" })}>
            Blend to neighbours
          </button>
          <button type="button" onClick={() => operate({ kind: "between-edges" })}>
            Between the edges
          </button>
        </fieldset>
        <fieldset className="tools">
          <legend className="visually-hidden">Clipboard</legend>
          <button type="button" onClick={() => copy(selection)}>
            Copy
          </button>
          <button type="button" onClick={() => copy(whole)}>
            Copy all
          </button>
          <button type="button" onClick={pasteFromBoard}>
            Paste
          </button>
        </fieldset>
      </div>
      <p role="status" className="soft said">
        {message}
      </p>
      <CellGrid
        title={sheet.title}
        x={sheet.x}
        y={sheet.y}
        xUnit={sheet.xUnit}
        yUnit={sheet.yUnit}
        limit={limit}
        selection={selection}
        select={select}
        describedBy="cell-words"
        look={(row, column) => {
          const i = row * sheet.columns + column;
          const isFitted = sheet.asked !== undefined;
          return {
            text: figure(working[i]!),
            under: under(i),
            difference: changeOf(sheet.base[i]!, working[i]!),
            solidity: isFitted ? solidityOf(working[i]!, sheet.deviation?.[i] ?? Number.NaN, sheet.samples?.[i] ?? 1) : 3,
          };
        }}
        type={(value) => operate({ kind: "set", by: value })}
        keys={keys}
        copy={() => copy(selection)}
        paste={paste}
      />
      <div className="cell-words">
        <p id="cell-words" role="status">
          {cellWords({
            place: placeOf(sheet, head[0], head[1]),
            unit: sheet.value.unit,
            base: sheet.base[at]!,
            now: working[at]!,
            asked: sheet.asked?.[at],
            deviation: sheet.deviation?.[at] ?? Number.NaN,
            samples: sheet.samples?.[at] ?? 0,
            state: props.isDrafted && changeOf(sheet.now[at]!, working[at]!) !== undefined ? "hand" : sheet.states[at]!,
            heldFor: props.heldFor,
            decimals: sheet.decimals,
          })}
        </p>
        <button type="button" onClick={() => props.why(head[0], head[1])}>
          Why this cell
        </button>
      </div>
      {sheet.asked !== undefined && (
        <p className="soft confidence-key">
          <i data-solid="3" /> known within ±1 % <i data-solid="2" /> within ±3 % <i data-solid="1" /> over ±3 % <i data-solid="0" /> not seen. The small figure
          is what the recordings ask for, or what the cell was.
        </p>
      )}
    </section>
  );
}
