import { type ClipboardEvent, type KeyboardEvent, useEffect, useRef, useState } from "react";
import { isSelected, type Selection, selectionOf } from "./operations.ts";

export interface CellLook {
  readonly text: string;
  /** A second, smaller line: what is asked for, or what it was. */
  readonly under: string;
  /** Percent or unit difference against what the cell is compared with; undefined: unchanged. */
  readonly difference: number | undefined;
  /** 0 not seen … 3 sure. */
  readonly solidity: number;
}

/** What a single key does on the selected cells, by its name. */
export type GridKeys = Readonly<Record<string, () => void>>;

/**
 * The numbers of a table as a grid that the keyboard moves in. Arrow keys move, Shift extends, Enter or a digit begins typing, Enter ends
 * it and goes on upwards, Escape leaves. What is changed is shown by a mark and a line beneath; what was never seen is hatched.
 */
export function CellGrid(props: {
  readonly title: string;
  readonly x: readonly number[];
  readonly y: readonly number[] | undefined;
  readonly xUnit: string;
  readonly yUnit: string;
  readonly look: (row: number, column: number) => CellLook;
  readonly limit: number;
  readonly selection: Selection;
  readonly select: (selection: Selection, head: readonly [number, number]) => void;
  readonly type: (value: number) => void;
  readonly keys: GridKeys;
  readonly copy: () => void;
  readonly paste: (text: string) => void;
  readonly describedBy: string;
}) {
  const { title, x, y, look, limit, selection, select } = props;
  const rows = y?.length ?? 1;
  const anchor = useRef<readonly [number, number]>([0, 0]);
  const [head, setHead] = useState<readonly [number, number]>([0, 0]);
  const [typing, setTyping] = useState<string>();
  const [isNotNumber, setNotNumber] = useState(false);
  const table = useRef<HTMLTableElement>(null);
  useEffect(() => {
    if (document.activeElement === table.current)
      table.current?.querySelector<HTMLElement>(`[data-cell="${head[0]},${head[1]}"]`)?.scrollIntoView({ block: "nearest", inline: "nearest" });
  }, [head]);

  const moveTo = (row: number, column: number, extend: boolean): void => {
    const next: readonly [number, number] = [Math.min(rows - 1, Math.max(0, row)), Math.min(x.length - 1, Math.max(0, column))];
    if (!extend) anchor.current = next;
    setHead(next);
    select(selectionOf(anchor.current, next), next);
  };
  const begin = (text: string): void => {
    setTyping(text);
    setNotNumber(false);
  };
  const leave = (): void => {
    setTyping(undefined);
    table.current?.focus();
  };
  /** Typed into one cell the cursor goes on, upwards or to the right, as one types a column or a row. */
  const commit = (goesRight: boolean): void => {
    const text = (typing ?? "").trim().replace("−", "-").replace(",", ".");
    const value = Number(text);
    if (text === "" || !Number.isFinite(value)) {
      setNotNumber(true);
      return;
    }
    props.type(value);
    leave();
    const isOne = selection.r0 === selection.r1 && selection.c0 === selection.c1;
    if (isOne) moveTo(goesRight || y === undefined ? head[0] : head[0] + 1, goesRight || y === undefined ? head[1] + 1 : head[1], false);
  };
  const onKey = (event: KeyboardEvent): void => {
    const isWithControl = event.ctrlKey || event.metaKey;
    if (typing !== undefined) {
      if (event.key === "Enter" || event.key === "Tab") commit(event.key === "Tab");
      else if (event.key === "Escape") leave();
      else return;
      event.preventDefault();
      event.stopPropagation();
      return;
    }
    const [r, c] = head;
    const moves: Readonly<Record<string, readonly [number, number]>> = {
      ArrowUp: [r + 1, c],
      ArrowDown: [r - 1, c],
      ArrowLeft: [r, c - 1],
      ArrowRight: [r, c + 1],
      Home: [r, 0],
      End: [r, x.length - 1],
      PageUp: [rows - 1, c],
      PageDown: [0, c],
    };
    const to = moves[event.key];
    const own = isWithControl || event.altKey ? undefined : props.keys[event.key];
    if (to !== undefined) moveTo(to[0], to[1], event.shiftKey);
    else if (event.key === "Enter") begin(look(r, c).text);
    else if (/^[-0-9.,]$/.test(event.key) && !isWithControl) begin(event.key);
    else if (isWithControl && event.key.toLowerCase() === "c") props.copy();
    else if (isWithControl && event.key.toLowerCase() === "a") {
      anchor.current = [0, 0];
      select(selectionOf([0, 0], [rows - 1, x.length - 1]), head);
    } else if (isWithControl && event.key.toLowerCase() === "z") props.keys["Control z"]?.();
    else if (own !== undefined) own();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  const onPaste = (event: ClipboardEvent): void => {
    if (typing === undefined) props.paste(event.clipboardData.getData("text/plain"));
  };
  // Rows run upwards, as pressure and load do in every picture of the table.
  const order = Array.from({ length: rows }, (_, i) => rows - 1 - i);
  return (
    <div className="cell-grid" onPaste={onPaste}>
      <table
        ref={table}
        role="grid"
        aria-label={title}
        aria-multiselectable="true"
        aria-describedby={props.describedBy}
        tabIndex={0}
        aria-activedescendant={`cell-${head[0]}-${head[1]}`}
        onKeyDown={onKey}
      >
        <thead>
          <tr>
            <th scope="col">{y === undefined ? props.xUnit : `${props.yUnit} \\ ${props.xUnit}`}</th>
            {x.map((value) => (
              <th key={value} scope="col">
                {short(value)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {order.map((row) => (
            <tr key={row}>
              <th scope="row">{y === undefined ? "" : short(y[row]!)}</th>
              {x.map((at, column) => {
                const { text, under, difference, solidity } = look(row, column);
                const isHead = head[0] === row && head[1] === column;
                const strength = difference === undefined ? 0 : Math.min(4, Math.max(1, Math.ceil((4 * Math.abs(difference)) / limit)));
                return (
                  <td
                    role="gridcell"
                    key={at}
                    id={`cell-${row}-${column}`}
                    data-cell={`${row},${column}`}
                    data-step={strength === 0 ? undefined : `${difference! < 0 ? "l" : "m"}${strength}`}
                    data-solid={solidity}
                    aria-selected={isSelected(selection, row, column)}
                    className={isHead ? "head" : undefined}
                    onPointerDown={(event) => {
                      if (isHead && typing !== undefined) return;
                      event.preventDefault();
                      table.current?.focus();
                      moveTo(row, column, event.shiftKey);
                    }}
                    onPointerEnter={(event) => {
                      if (event.buttons === 1 && typing === undefined) moveTo(row, column, true);
                    }}
                    onDoubleClick={() => begin(text)}
                  >
                    {isHead && typing !== undefined ? (
                      <input
                        autoFocus
                        aria-label="New value"
                        aria-invalid={isNotNumber}
                        inputMode="decimal"
                        value={typing}
                        onChange={(event) => begin(event.target.value)}
                        onBlur={() => setTyping(undefined)}
                      />
                    ) : (
                      <>
                        {text}
                        <small>{under}</small>
                      </>
                    )}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function short(value: number): string {
  return String(Number(value.toPrecision(5))).replace("-", "−");
}
