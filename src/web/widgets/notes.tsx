import { useRef, useState } from "react";
import { useKeys } from "../shell/keys.tsx";
import type { JobDesk } from "../state/job.ts";

/** Notes of a station: written once, never rewritten. */
export function NoteBlock({ desk, station }: { desk: JobDesk; station: string }) {
  const [text, setText] = useState("");
  const field = useRef<HTMLTextAreaElement>(null);
  useKeys({ n: () => field.current?.focus() });
  const notes = (desk.job?.notes ?? []).filter((note) => note.station === station);
  return (
    <section className="notes">
      <h2>Notes</h2>
      {notes.map((note) => (
        <p key={note.number}>
          {note.text}{" "}
          <span className="soft">
            {note.by}, {new Date(note.at).toLocaleString()}
          </span>
        </p>
      ))}
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void desk.record("note.written", { text, station }).then(() => setText(""));
        }}
      >
        <label className="wide">
          <span>A note</span>
          <textarea ref={field} value={text} onChange={(event) => setText(event.target.value)} />
        </label>
        <div className="actions">
          <button type="submit" disabled={text.trim() === ""}>
            Write it down
          </button>
        </div>
      </form>
    </section>
  );
}
