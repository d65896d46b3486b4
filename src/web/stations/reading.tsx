import "../reading/reading.css";
import { useState } from "react";
import { GENERAL_PLAN, GENERAL_PLAN_NAME } from "../reading/general-plan.ts";
import { ReadRecord } from "../reading/read-record.tsx";
import type { StationProps } from "../shell/job-page.tsx";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";
import { NoteBlock } from "../widgets/notes.tsx";

/** The plan for getting the calibration out of the controller, ticked as it is done, and how it went. The bench itself reads and writes no controller. */
export default function Reading({ desk }: StationProps) {
  const lists = desk.job?.checklists ?? {};
  const [name, setName] = useState(GENERAL_PLAN_NAME);
  const [editing, setEditing] = useState<{ name: string; text: string }>();
  const text = lists[name] ?? GENERAL_PLAN;
  return (
    <div className="reading">
      <section>
        <h2>Plan for reading the controller</h2>
        <p>
          Follow the maker's instructions first; where they say otherwise they are right. A read that breaks off can leave a controller unusable: the supply
          decides more than anything else.
        </p>
        {editing === undefined ? (
          <>
            <div className="row">
              <label>
                <span>Plan</span>
                <select value={name} onChange={(event) => setName(event.target.value)}>
                  {[...new Set([GENERAL_PLAN_NAME, ...Object.keys(lists)])].map((one) => (
                    <option key={one}>{one}</option>
                  ))}
                </select>
              </label>
              <button type="button" onClick={() => setEditing({ name: name === GENERAL_PLAN_NAME ? "" : name, text })}>
                {name === GENERAL_PLAN_NAME ? "Write one for a family of controllers" : "Change this plan"}
              </button>
            </div>
            <Plan desk={desk} name={name} text={text} />
          </>
        ) : (
          <PlanEditor
            start={editing}
            leave={() => setEditing(undefined)}
            keep={async (kept) => {
              await client.bookEvent("checklist.written", kept);
              await desk.renew();
              setName(kept.name);
              setEditing(undefined);
            }}
          />
        )}
      </section>
      <div>
        <ReadRecord desk={desk} plan={name} />
        <NoteBlock desk={desk} station="reading" />
      </div>
    </div>
  );
}

function Plan({ desk, name, text }: { desk: JobDesk; name: string; text: string }) {
  const ticks = desk.job?.ticks[name] ?? {};
  const items = text.split("\n").filter((line) => line.trim() !== "");
  return (
    <ul className="checklist">
      {items.map((item) =>
        item.trim().endsWith(":") ? (
          <li key={item} className="heading">
            <h3>{item.trim().slice(0, -1)}</h3>
          </li>
        ) : (
          <li key={item}>
            <label className="tick">
              <input
                type="checkbox"
                checked={ticks[item] === true}
                onChange={(event) => void desk.record("checklist.ticked", { list: name, item, ticked: event.target.checked })}
              />
              <span>{item}</span>
            </label>
          </li>
        ),
      )}
    </ul>
  );
}

/** A plan is plain text, so that it can be written, mailed and pasted like any other. */
function PlanEditor(props: { start: { name: string; text: string }; leave: () => void; keep: (plan: { name: string; text: string }) => Promise<void> }) {
  const [name, setName] = useState(props.start.name);
  const [text, setText] = useState(props.start.text);
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void props.keep({ name, text });
      }}
    >
      <label className="wide">
        <span>Name of the plan, for example a family of controllers</span>
        <input autoFocus required value={name} onChange={(event) => setName(event.target.value)} />
      </label>
      <label className="wide">
        <span>One line an item; a line that ends with a colon is a heading</span>
        <textarea className="tall" value={text} onChange={(event) => setText(event.target.value)} />
      </label>
      <div className="actions">
        <button type="submit" className="primary">
          Keep the plan
        </button>
        <button type="button" onClick={props.leave}>
          Leave it
        </button>
      </div>
    </form>
  );
}
