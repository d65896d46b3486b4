import { useState } from "react";

/** The hand overrules the fit: that takes a reason, or it is left. Stays in sight while one goes on working in the grid. */
export function ReasonBar(props: {
  readonly says: string;
  readonly label: string;
  readonly action: string;
  readonly stepBack: (() => void) | undefined;
  readonly keep: (why: string) => Promise<void>;
  readonly leave: () => void;
}) {
  const [why, setWhy] = useState("");
  const [isBusy, setBusy] = useState(false);
  return (
    <form
      className="reason-bar"
      aria-label="Not kept yet"
      onSubmit={(event) => {
        event.preventDefault();
        setBusy(true);
        void props.keep(why).finally(() => setBusy(false));
      }}
      onKeyDown={(event) => {
        if (event.key !== "Escape") return;
        event.stopPropagation();
        props.leave();
      }}
    >
      <p role="status">{props.says}</p>
      <label>
        <span>{props.label}</span>
        <input type="text" required value={why} onChange={(event) => setWhy(event.target.value)} />
      </label>
      <button type="submit" className="primary" disabled={isBusy || why.trim() === ""}>
        {props.action}
      </button>
      {props.stepBack !== undefined && (
        <button type="button" onClick={props.stepBack}>
          Step back
        </button>
      )}
      <button type="button" onClick={props.leave}>
        Leave it
      </button>
    </form>
  );
}
