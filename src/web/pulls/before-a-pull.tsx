import { useState } from "react";
import type { PullsView } from "../../api/index.ts";
import type { StationProps } from "../shell/job-page.tsx";

const WHO_STOPS = "Stops it: ";

/** The list before the next pull, each tick recorded with who and when. What has to be settled first stands above it. */
export function BeforeAPull({ desk, view, isStopped }: Pick<StationProps, "desk"> & { view: PullsView; isStopped: boolean }) {
  const [who, setWho] = useState("");
  const tick = (item: string, ticked: boolean): Promise<void> => desk.record("checklist.ticked", { list: view.list, item, ticked });
  const ticked = view.checklist.filter((item) => item.ticked);
  const clear = async (): Promise<void> => {
    for (const { item } of ticked) await tick(item, false);
  };
  return (
    <section>
      <h2>Before the next pull</h2>
      {isStopped && (
        <p className="caution">
          A moment to stop for was seen in these sweeps. No further pull before its cause is known; then come up in steps, fuel on the rich side, spark on the
          safe side.
        </p>
      )}
      <p>
        {ticked.length} of {view.checklist.length} ticked. The facility's rules come before this list; it is a record, not a permit.
      </p>
      <ul className="checklist">
        {view.checklist.map(({ item, ticked: isTicked, at, by }) => (
          <li key={item}>
            <label className="tick">
              <input type="checkbox" checked={isTicked} onChange={(event) => void tick(item, event.target.checked)} />
              <span>
                {item}
                {isTicked && at !== undefined && (
                  <small>
                    {" "}
                    {at}
                    {by === undefined ? "" : `, ${by}`}
                  </small>
                )}
              </span>
            </label>
          </li>
        ))}
      </ul>
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          void tick(`${WHO_STOPS}${who.trim()}`, true).then(() => setWho(""));
        }}
      >
        <label className="wide">
          <span>Who stops it, and how</span>
          <input required value={who} onChange={(event) => setWho(event.target.value)} placeholder="name, and the word or the switch" />
        </label>
        <button type="submit">Write it down</button>
        <button type="button" disabled={ticked.length === 0} onClick={() => void clear()}>
          Clear the list for the next pull
        </button>
      </form>
    </section>
  );
}
