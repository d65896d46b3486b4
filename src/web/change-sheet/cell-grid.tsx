import { type KeyboardEvent, useEffect, useRef, useState } from "react";
import { isSelected, type Selection, selectionOf } from "./operations.ts";

export interface CellLook {
  readonly text: string;
  /** Percent or unit difference against what the cell is compared with; undefined: unchanged. */
  readonly difference?: number;
  /** 0 not seen … 3 sure. */
  readonly solidity: number;
}

/**
 * The numbers of a table as a grid that the keyboard moves in. Arrow keys move, Shift extends, Enter or a digit begins typing, Escape
 * leaves. What is changed is shown by a mark and a tint; what was never seen is hatched.
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
  readonly select: (selection: Selection) => void;
  readonly type: (value: number) => void;
  readonly copy: () => void;
  readonly paste: (text: string) => void;
}) {
  const { title, x, y, look, limit, selection, select } = props;
  const rows = y?.length ?? 1;
  const anchor = useRef<readonly [number, number]>([0, 0]);
  const [head, setHead] = useState<readonly [number, number]>([0, 0]);
  const [typing, setTyping] = useState<string>();
  const table = useRef<HTMLTableElement>(null);
  useEffect(() => {
    if (document.activeElement === table.current)
      table.current?.querySelector<HTMLElement>(`[data-cell="${head[0]},${head[1]}"]`)?.scrollIntoView({ block: "nearest", inline: "nearest" });
  }, [head]);

  const moveTo = (row: number, column: number, extend: boolean): void => {
    const next: readonly [number, number] = [Math.min(rows - 1, Math.max(0, row)), Math.min(x.length - 1, Math.max(0, column))];
    if (!extend) anchor.current = next;
    setHead(next);
    select(selectionOf(anchor.current, next));
  };
  const commit = (): void => {
    const value = Number((typing ?? "").replace(",", "."));
    setTyping(undefined);
    if (typing !== undefined && typing.trim() !== "" && Number.isFinite(value)) props.type(value);
    table.current?.focus();
  };
  const onKey = (event: KeyboardEvent): void => {
    if (typing !== undefined) {
      if (event.key === "Enter") commit();
      else if (event.key === "Escape") {
        setTyping(undefined);
        table.current?.focus();
      } else return;
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
    if (to !== undefined) moveTo(to[0], to[1], event.shiftKey);
    else if (event.key === "Enter") setTyping(look(r, c).text);
    else if (/^[-0-9.,]$/.test(event.key) && !event.ctrlKey && !event.metaKey) setTyping(event.key);
    else if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "c") props.copy();
    else if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "a") {
      anchor.current = [0, 0];
      select(selectionOf([0, 0], [rows - 1, x.length - 1]));
    } else return;
    event.preventDefault();
    event.stopPropagation();
  };
  // Rows run upwards, as pressure and load do in every picture of the table.
  const order = Array.from({ length: rows }, (_, i) => rows - 1 - i);
  return (
    <div className="cell-grid" onPaste={(event) => props.paste(event.clipboardData.getData("text/plain"))}>
      <table ref={table} role="grid" aria-label={title} tabIndex={0} aria-activedescendant={`cell-${head[0]}-${head[1]}`} onKeyDown={onKey}>
        <thead>
          <tr>
            <th scope="col">
              {y === undefined ? "" : props.yUnit} \ {props.xUnit}
            </th>
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
                const { text, difference, solidity } = look(row, column);
                const isHead = head[0] === row && head[1] === column;
                const strength = difference === undefined ? 0 : Math.min(4, Math.max(1, Math.ceil((4 * Math.abs(difference)) / limit)));
                return (
                  // biome-ignore lint/a11y/useKeyWithClickEvents: keys are handled by the grid, which has the focus.
                  <td
                    role="gridcell"
                    key={at}
                    id={`cell-${row}-${column}`}
                    data-cell={`${row},${column}`}
                    data-step={strength === 0 ? undefined : `${difference! < 0 ? "l" : "m"}${strength}`}
                    data-solid={solidity}
                    aria-selected={isSelected(selection, row, column)}
                    className={isHead ? "head" : undefined}
                    onClick={(event) => {
                      table.current?.focus();
                      moveTo(row, column, event.shiftKey);
                    }}
                    onDoubleClick={() => setTyping(text)}
                  >
                    {isHead && typing !== undefined ? (
                      <input
                        autoFocus
                        aria-label="New value"
                        value={typing}
                        onChange={(event) => setTyping(event.target.value)}
                        onBlur={() => setTyping(undefined)}
                      />
                    ) : (
                      text
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
  return String(Number(value.toPrecision(5)));
}
