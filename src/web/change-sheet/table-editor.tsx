import { type ReactNode, useContext, useMemo, useState } from "react";
import type { TableView } from "../../api/index.ts";
import { decidedCells } from "../../core/tables/index.ts";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { shownIn, UnitsContext } from "../state/units.ts";
import { Figure } from "../widgets/picture.tsx";
import { differenceOf, profileOf } from "../widgets/table-pictures.ts";
import { CellGrid } from "./cell-grid.tsx";
import { applyOperation, fromTabbed, type Grid, type Operation, type Selection, toTabbed } from "./operations.ts";
import { ReliefView } from "./relief-view.tsx";

const f64 = (cells: readonly (number | null)[]): Float64Array => Float64Array.from(cells, (value) => value ?? Number.NaN);

/** A table as it will go into the next revision: what the recordings ask for, what the hand decided, and the numbers themselves. */
export function TableEditor({ table, desk, toMargin }: { table: TableView; desk: JobDesk; toMargin: (content: ReactNode) => void }) {
  const { system } = useContext(UnitsContext);
  const columns = table.x?.values.length ?? 1;
  const rows = table.y?.values.length ?? 1;
  const base = useMemo(() => f64(table.current ?? table.asReceived ?? []), [table]);
  const proposed = useMemo(() => (table.proposed === undefined ? undefined : f64(table.proposed)), [table]);
  const key = table.role ?? table.title;
  const decisions = (desk.job?.decisions ?? []).filter((made) => made.role === key);
  const now = decidedCells(base, columns, proposed, decisions);
  const shown = shownIn(table.unit, system);
  const xShown = shownIn(table.x?.unit ?? "", system);
  const yShown = shownIn(table.y?.unit ?? "", system);
  const axes = { x: (table.x?.values ?? [0]).map(xShown.show), y: (table.y?.values ?? [0]).map(yShown.show) };
  const grid: Grid = { columns, cells: now.map(shown.show) };
  const [selection, setSelection] = useState<Selection>({ r0: 0, c0: 0, r1: 0, c1: 0 });
  const [amount, setAmount] = useState("");
  const [pending, setPending] = useState<Float64Array>();
  const [why, setWhy] = useState("");
  const [message, setMessage] = useState("");

  const decimals = decimalsOf(grid.cells);
  const whole: Selection = { r0: 0, c0: 0, r1: rows - 1, c1: columns - 1 };
  const region = (s: Selection): { region?: [[number, number], [number, number]] } =>
    s.r0 === 0 && s.c0 === 0 && s.r1 === rows - 1 && s.c1 === columns - 1
      ? {}
      : {
          region: [
            [s.r0, s.c0],
            [s.r1, s.c1],
          ],
        };
  const decide = (decision: "accept" | "hold", s: Selection): void => void desk.record("change.decided", { role: key, decision, ...region(s) });
  /** The hand overrules the fit: that takes a reason. */
  const propose = (cells: Float64Array): void => {
    setPending(cells);
    setMessage("");
  };
  const keep = async (): Promise<void> => {
    if (pending === undefined) return;
    const cells = [...pending].flatMap((value, i) =>
      Math.abs(value - grid.cells[i]!) > 1e-9 * Math.max(1, Math.abs(value))
        ? [{ row: Math.floor(i / columns), column: i % columns, value: shown.read(value) }]
        : [],
    );
    await desk.record("change.decided", { role: key, decision: "edit", cells }, why);
    setPending(undefined);
    setWhy("");
  };
  const operate = (operation: Operation): void => propose(applyOperation(grid, selection, operation, axes));
  const number = Number(amount.replace(",", "."));
  const seen = table.coverage === undefined ? undefined : f64(table.coverage);
  const compare = base.map(shown.show);
  const difference = (i: number): number | undefined => {
    const value = (pending ?? grid.cells)[i]!;
    const before = compare[i]!;
    if (!(Math.abs(value - before) > 1e-9 * Math.max(1, Math.abs(before)))) return undefined;
    return Math.abs(before) < 1e-9 ? value - before : 100 * (value / before - 1);
  };
  const limit = Math.max(1, ...Array.from(compare, (_, i) => Math.abs(difference(i) ?? 0)));
  const copy = (s: Selection): void => void navigator.clipboard.writeText(toTabbed(grid, s, axes)).then(() => setMessage("Copied as tab-separated text."));
  // Before anything is decided the picture shows what the recordings ask for; afterwards what was decided.
  const drawn = decisions.length === 0 ? (proposed ?? now) : now;
  const asks = decisions.length === 0 && proposed !== undefined;
  const picture = profileOf(
    table,
    { before: [...base], after: [...drawn], deviation: table.deviation },
    `${table.title}: dashed as it is in the controller, solid ${asks ? "what the recordings ask for" : "as it goes into the next revision"}; the band holds nine cases of ten.`,
    "change-profile",
    system,
    1000,
  );
  const field = differenceOf(
    table,
    { before: [...base], after: [...drawn] },
    asks ? "What the recordings ask to change." : "What the next revision changes.",
    "change-field",
    system,
    1000,
  );
  return (
    <section className="table-editor">
      <h2>{table.title}</h2>
      <p>{table.why ?? "The recordings ask for no change of this table."}</p>
      {table.heldBecause !== undefined && (
        <p className="problem">
          Repair first: {desk.analysis?.faults[table.heldBecause]?.title ?? table.heldBecause}. What is shown is what the correction would have been.
        </p>
      )}
      {table.proposed !== undefined && (
        <div className="actions">
          <button type="button" className="primary" onClick={() => decide("accept", whole)}>
            Accept the table
          </button>
          <button type="button" onClick={() => decide("accept", selection)}>
            Accept the selection
          </button>
          <button type="button" onClick={() => decide("hold", selection)}>
            Hold the selection
          </button>
          <button type="button" onClick={() => decide("hold", whole)}>
            Hold the table
          </button>
        </div>
      )}
      {picture !== undefined && <Figure picture={picture} />}
      {field !== undefined && <Figure picture={field} />}
      <details open>
        <summary>Numbers</summary>
        <div className="operations">
          <label>
            <span>Amount</span>
            <input value={amount} inputMode="decimal" onChange={(event) => setAmount(event.target.value)} />
          </label>
          {(
            [
              ["Set", "set"],
              ["Add", "add"],
              ["Multiply", "multiply"],
            ] as const
          ).map(([name, kind]) => (
            <button key={kind} type="button" disabled={amount.trim() === "" || !Number.isFinite(number)} onClick={() => operate({ kind, by: number })}>
              {name}
            </button>
          ))}
          <button type="button" onClick={() => operate({ kind: "blend" })}>
            Blend to neighbours
          </button>
          <button type="button" onClick={() => operate({ kind: "between-edges" })}>
            Between the edges
          </button>
          <button type="button" onClick={() => copy(selection)}>
            Copy
          </button>
          <button type="button" onClick={() => copy(whole)}>
            Copy the table
          </button>
          <button
            type="button"
            onClick={() =>
              void client.why(desk.slug, key, selection.r0, selection.c0).then(
                (lines) =>
                  toMargin(
                    <>
                      <h3>
                        Why {grid.cells[selection.r0 * columns + selection.c0]!.toFixed(decimals)} {shown.unit}
                      </h3>
                      <ol>
                        {lines.map((line) => (
                          <li key={line}>{line}</li>
                        ))}
                      </ol>
                    </>,
                  ),
                (error: Error) => setMessage(error.message),
              )
            }
          >
            Why this cell
          </button>
        </div>
        <p role="status" className="soft">
          {message}
        </p>
        <CellGrid
          title={table.title}
          x={axes.x}
          y={table.y === undefined ? undefined : axes.y}
          xUnit={xShown.unit}
          yUnit={yShown.unit}
          limit={limit}
          selection={selection}
          select={setSelection}
          look={(row, column) => {
            const i = row * columns + column;
            const samples = seen?.[i] ?? Number.NaN;
            return {
              text: (pending ?? grid.cells)[i]!.toFixed(decimals),
              difference: difference(i),
              solidity: Number.isNaN(samples) ? 3 : samples >= 20 ? 3 : samples >= 5 ? 2 : samples > 0.5 ? 1 : 0,
            };
          }}
          type={(value) => operate({ kind: "set", by: value })}
          copy={() => copy(selection)}
          paste={(text) => {
            const read = fromTabbed(text, grid, selection, axes);
            if ("problem" in read) setMessage(read.problem);
            else propose(read.cells);
          }}
        />
      </details>
      {pending !== undefined && (
        <form
          className="overrule"
          onSubmit={(event) => {
            event.preventDefault();
            void keep();
          }}
        >
          <label className="wide">
            <span>Reason for the change by hand</span>
            <textarea autoFocus required value={why} onChange={(event) => setWhy(event.target.value)} />
          </label>
          <div className="actions">
            <button type="submit" className="primary">
              Keep the change
            </button>
            <button type="button" onClick={() => setPending(undefined)}>
              Leave it
            </button>
          </div>
        </form>
      )}
      {table.x !== undefined && table.y !== undefined && (
        <details>
          <summary>Shape in three dimensions</summary>
          <ReliefView
            surface={{
              id: "relief-now",
              title: table.title,
              caption: "The table as it goes into the next revision.",
              x: { name: table.x.name, unit: xShown.unit, values: axes.x },
              y: { name: table.y.name, unit: yShown.unit, values: axes.y },
              value: { name: table.title, unit: shown.unit },
              cells: grid.cells,
            }}
          />
        </details>
      )}
    </section>
  );
}

/** As many decimals as the values need, at most four. */
function decimalsOf(cells: Float64Array): number {
  for (let decimals = 0; decimals < 4; decimals++)
    if (cells.every((value) => Math.abs(value * 10 ** decimals - Math.round(value * 10 ** decimals)) < 1e-6)) return decimals;
  const largest = Math.max(...cells.map(Math.abs));
  return largest >= 100 ? 1 : largest >= 10 ? 2 : 3;
}
