import { useState } from "react";
import type { BoardView } from "../../api/index.ts";

/** Which book lies open, and the way to the other one. A demo says what it is on the first line of its page. */
export function BookLine({ board, change }: { board: BoardView; change: (which: "own" | "demo") => void }) {
  const { isDemo, canChange, hasOwn, making } = board.book;
  const [isChanging, setChanging] = useState(false);
  const to = (which: "own" | "demo") => (): void => {
    setChanging(true);
    change(which);
  };
  return (
    <>
      {isDemo && (
        <section className="demo-line" aria-label="About this book">
          <div>
            <h2>This is the demo book</h2>
            <p>
              Five made-up vehicles, each at another point of its job. Their engines, drives and faults come from a virtual vehicle, so nothing here is
              anyone's. Try everything: it is yours to spoil.
            </p>
          </div>
          {canChange && (
            <p className="actions">
              <button type="button" className="primary" disabled={isChanging} onClick={to("own")}>
                {hasOwn ? "Go to my own book" : "Start my own"} <kbd>d</kbd>
              </button>
            </p>
          )}
        </section>
      )}
      {!isDemo && (
        <p className="own-line">
          <span className="soft">{board.folder}</span>
          {canChange && (
            <button type="button" className="link" disabled={isChanging} onClick={to("demo")}>
              Look at the demo book <kbd>d</kbd>
            </button>
          )}
        </p>
      )}
      {isDemo && making !== undefined && (
        <div className="making" role="status">
          <span>{making.text}</span>
          <progress max={1} value={making.share} aria-label="Making the demo book" />
        </div>
      )}
    </>
  );
}
