import { type ReactNode, useMemo, useState } from "react";
import type { TableView } from "../../api/index.ts";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { useUnits } from "../state/units.ts";
import { Numbers } from "./numbers.tsx";
import type { Selection } from "./operations.ts";
import { ReasonBar } from "./reason-bar.tsx";
import { PromisedRegions, ReplayPanel, useReplay } from "./replay-panel.tsx";
import { SheetPictures } from "./sheet-pictures.tsx";
import { changedCount, differs, placeOf, type SheetTable, sheetTable } from "./sheet-table.ts";

/** A decision that goes against the fit and waits for its reason. */
type Waiting = { readonly kind: "accept"; readonly selection: Selection | undefined };

/** A table as it will go into the next revision: in words, in pictures, in numbers; what the recordings ask for and what the hand decided. */
export function TableSheet({ table, desk, toMargin }: { table: TableView; desk: JobDesk; toMargin: (content: ReactNode) => void }) {
  const units = useUnits();
  const decisions = desk.job?.decisions;
  const sheet = useMemo(() => sheetTable(table, decisions ?? [], units), [table, decisions, units]);
  const [selection, setSelection] = useState<Selection>({ r0: 0, c0: 0, r1: 0, c1: 0 });
  const [drafts, setDrafts] = useState<readonly Float64Array[]>([]);
  const [waiting, setWaiting] = useState<Waiting>();
  const replay = useReplay(desk);
  const working = drafts.at(-1) ?? sheet.now;
  const whole: Selection = { r0: 0, c0: 0, r1: sheet.rows - 1, c1: sheet.columns - 1 };
  const isWhole = (s: Selection): boolean => s.r0 === 0 && s.c0 === 0 && s.r1 === whole.r1 && s.c1 === whole.c1;
  const heldFor = table.heldBecause === undefined ? undefined : (desk.analysis?.faults[table.heldBecause]?.title ?? table.heldBecause);
  const decide = (decision: "accept" | "hold", s: Selection | undefined, why?: string): Promise<void> => {
    const place = s === undefined || isWhole(s) ? {} : { region: regionOf(s) };
    return desk.record("change.decided", { role: sheet.key, decision, ...place }, why);
  };
  const accept = (s: Selection | undefined): void => {
    if (heldFor === undefined) void decide("accept", s);
    else setWaiting({ kind: "accept", selection: s });
  };
  const stepBack = (): void => setDrafts((old) => old.slice(0, -1));
  const keepDraft = async (why: string): Promise<void> => {
    const cells = [...working].flatMap((value, i) =>
      differs(sheet.now[i]!, value) ? [{ row: Math.floor(i / sheet.columns), column: i % sheet.columns, value: sheet.value.read(value) }] : [],
    );
    await desk.record("change.decided", { role: sheet.key, decision: "edit", cells }, why);
    setDrafts([]);
  };
  const askWhy = (row: number, column: number): void => {
    const place = placeOf(sheet, row, column);
    client.why(desk.slug, sheet.key, row, column).then(
      (lines) => toMargin(<Why place={place} title={sheet.title} lines={lines} />),
      (error: Error) => toMargin(<p className="problem">{error.message}</p>),
    );
  };
  const isAsked = drafts.length === 0 && sheet.decisions.length === 0 && sheet.asked !== undefined;
  const drafted = drafts.length === 0 ? 0 : changedCount(sheet.now, working);
  return (
    <section className="table-sheet" aria-labelledby="sheet-title">
      <header className="sheet-head">
        <h2 id="sheet-title">{sheet.title}</h2>
        <p>{sentenceOf(sheet, table, desk, heldFor)}</p>
        {heldFor !== undefined && (
          <p className="held-note">
            <strong>Repair first:</strong> {heldFor}. What is shown is what the correction would have been.
          </p>
        )}
        {sheet.asked !== undefined && <DecideBar sheet={sheet} selection={selection} whole={whole} accept={accept} hold={(s) => void decide("hold", s)} />}
        <Limits table={table} desk={desk} />
      </header>
      <div className="sheet-body">
        <div className="sheet-left">
          <SheetPictures table={table} sheet={sheet} drawn={isAsked ? sheet.asked! : working} isAsked={isAsked} />
          <PromisedRegions replay={replay} role={sheet.key} />
        </div>
        <ReplayPanel replay={replay} />
      </div>
      <Numbers
        sheet={sheet}
        working={working}
        isDrafted={drafts.length > 0}
        selection={selection}
        select={setSelection}
        whole={whole}
        draft={(cells) => setDrafts((old) => [...old, cells])}
        stepBack={stepBack}
        accept={sheet.asked === undefined ? undefined : () => accept(selection)}
        hold={() => void decide("hold", selection)}
        why={askWhy}
        heldFor={heldFor}
      />
      {drafted > 0 && (
        <ReasonBar
          says={`${drafted} ${drafted === 1 ? "cell" : "cells"} changed by hand, not kept yet.`}
          label={sheet.asked === undefined ? "Reason for the change by hand" : "Reason for going over the fit by hand"}
          action="Keep the change"
          stepBack={stepBack}
          keep={keepDraft}
          leave={() => setDrafts([])}
        />
      )}
      {waiting !== undefined && (
        <ReasonBar
          says={`This was held back: ${heldFor ?? ""}.`}
          label="Reason for taking it before the repair"
          action="Accept it all the same"
          stepBack={undefined}
          keep={async (why) => {
            await decide("accept", waiting.selection, why);
            setWaiting(undefined);
          }}
          leave={() => setWaiting(undefined)}
        />
      )}
    </section>
  );
}

function DecideBar(props: {
  readonly sheet: SheetTable;
  readonly selection: Selection;
  readonly whole: Selection;
  readonly accept: (s: Selection | undefined) => void;
  readonly hold: (s: Selection | undefined) => void;
}) {
  const { selection: s } = props;
  const count = (s.r1 - s.r0 + 1) * (s.c1 - s.c0 + 1);
  const selected = count === 1 ? "the cell" : `${count} cells`;
  return (
    <div className="actions">
      <button type="button" className="primary" onClick={() => props.accept(undefined)}>
        Accept the table
      </button>
      <button type="button" onClick={() => props.hold(undefined)}>
        Hold the table
      </button>
      <span className="rule" aria-hidden="true" />
      <button type="button" onClick={() => props.accept(s)}>
        Accept {selected} <kbd>a</kbd>
      </button>
      <button type="button" onClick={() => props.hold(s)}>
        Hold {selected} <kbd>h</kbd>
      </button>
    </div>
  );
}

/** What held the change back, in the correction's own words. */
function Limits({ table, desk }: { table: TableView; desk: JobDesk }) {
  const limited = desk.analysis?.result.corrections.find((made) => made.role === table.role)?.limited ?? [];
  if (limited.length === 0 && table.why === undefined) return null;
  return (
    <details className="limits">
      <summary>Where it comes from{limited.length === 0 ? "" : `, and what held it back (${limited.length})`}</summary>
      {table.why !== undefined && <p>{table.why}</p>}
      {limited.length > 0 && (
        <ul className="because">
          {limited.map((text) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      )}
    </details>
  );
}

function Why({ place, title, lines }: { place: string; title: string; lines: readonly string[] }) {
  return (
    <>
      <h3>
        {title}, {place}
      </h3>
      <ol className="why">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ol>
    </>
  );
}

function sentenceOf(sheet: SheetTable, table: TableView, desk: JobDesk, heldFor: string | undefined): string {
  const made = desk.analysis?.result.corrections.find((correction) => correction.role === table.role);
  const decided = sheet.decisions.length > 0 ? ` ${decidedWords(sheet)}` : "";
  if (sheet.asked === undefined || made === undefined) return `The recordings ask for no change of this table.${decided}`;
  if (changedCount(sheet.base, sheet.asked) === 0 && table.current !== undefined)
    return `The newest revision has what the recordings ask for. Drive it, and bring the recording as made with it.${decided}`;
  const asks = heldFor === undefined ? "The recordings ask for" : "The recordings would ask for";
  const seen = `${made.cellsCovered} of ${sheet.base.length} cells were driven long enough to stand on their own`;
  return `${asks} ${made.cellsChanged} of ${sheet.base.length} cells to change, by ${made.meanAbsChangePercent.toFixed(1)} % on average; ${seen}.${decided}`;
}

function decidedWords(sheet: SheetTable): string {
  const changed = changedCount(sheet.base, sheet.now);
  const count = (state: string): number => sheet.states.filter((one) => one === state).length;
  const parts = [
    [count("accepted"), "accepted"],
    [count("held"), "held"],
    [count("hand"), "by hand"],
    [count("open"), "open"],
  ]
    .filter(([cells]) => cells !== 0)
    .map(([cells, word]) => `${cells} ${word}`);
  return `Decided: ${parts.join(", ")}; ${changed === 0 ? "no cell changes" : `${changed} ${changed === 1 ? "cell changes" : "cells change"}`} in the next revision.`;
}

function regionOf(s: Selection): readonly [readonly [number, number], readonly [number, number]] {
  return [
    [s.r0, s.c0],
    [s.r1, s.c1],
  ];
}
