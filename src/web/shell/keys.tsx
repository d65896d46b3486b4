import { useEffect, useRef } from "react";

export type KeyMap = Readonly<Record<string, () => void>>;

/** What each key does, for the list under `?`. Stations add their own lines. */
export const KEY_LIST: readonly (readonly [keys: string, does: string])[] = [
  ["?", "show or hide this list"],
  ["/", "search everything (on the board)"],
  ["d", "change between the demo book and your own (on the board)"],
  ["1 … 8", "go to a station of the job"],
  ["g", "go back to the board"],
  ["n", "begin a job (on the board), write a note (in a job)"],
  ["u", "undo the last entry"],
  ["Shift u", "bring back what was undone"],
  ["Escape", "close what lies open, or cancel the work under way"],
  ["Arrow keys", "move along the board, within a table or along a recording"],
  ["+ and −", "zoom into a recording, and out; 0 shows all of it"],
  ["Home and End", "go to the start or the end of a recording"],
  ["[ and ]", "the moment before, the next moment of a recording"],
  [", and .", "step the cursor of the traces back and forth"],
  ["s and e", "let the chosen span start, or end, at the cursor"],
  ["j and k", "the next finding, the one before (at the inspection)"],
  ["a, x and m", "accept a finding, dispute it, mark it done (at the inspection)"],
  ["Enter", "open or accept what has the focus; in the numbers of a table: type, and go on"],
  ["a and h", "accept, or hold, the selected cells of a table"],
  ["b and i", "blend the selected cells to their neighbours, lay them between the edges"],
  ["w", "why the cell under the cursor is what it is"],
  ["Ctrl C, Ctrl V", "copy or paste cells as text with their axes; Ctrl Z steps back while nothing is kept"],
  ["t", "paper or bay: change between light and dark"],
];

function isTyping(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName));
}

/** Listens for single keys while nobody is typing in a field. The latest map is always the one that counts. */
export function useKeys(map: KeyMap): void {
  const latest = useRef(map);
  latest.current = map;
  useEffect(() => {
    const listen = (event: KeyboardEvent): void => {
      if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target)) return;
      const name = event.shiftKey && event.key.length === 1 && /[a-z]/i.test(event.key) ? `Shift ${event.key.toLowerCase()}` : event.key;
      const action = latest.current[name];
      if (action === undefined) return;
      event.preventDefault();
      action();
    };
    addEventListener("keydown", listen);
    return () => removeEventListener("keydown", listen);
  }, []);
}

export function KeyHelp({ close }: { close: () => void }) {
  useKeys({ Escape: close });
  return (
    <aside className="key-help" aria-label="Keys">
      <h2>Keys</h2>
      <dl>
        {KEY_LIST.map(([keys, does]) => (
          <div key={keys}>
            <dt>
              <kbd>{keys}</kbd>
            </dt>
            <dd>{does}</dd>
          </div>
        ))}
      </dl>
      <button type="button" onClick={close}>
        Close
      </button>
    </aside>
  );
}
