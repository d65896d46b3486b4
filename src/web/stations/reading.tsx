import { useState } from "react";
import type { StationProps } from "../shell/job-page.tsx";
import { client } from "../state/client.ts";
import { NoteBlock } from "../widgets/notes.tsx";

/**
 * The plan that every book begins with; a person writes further ones as plain text, one line an item, a line that ends with a
 * colon a heading. Common practice, no published source.
 */
const GENERAL_PLAN = `Before anything is connected:
Battery 12.5 V or more, and a clean supply on it that holds 13 to 14 V
Chargers that pulse, alarms and audio off or their fuses out
Ignition off, doors shut, nobody switches anything while it runs
Look into the controller's connectors: dry, no oil, no bent pins
Oil in a connector: stop, find where it wicks from, the harness may be gone
Connectors go in lightly until the screw takes; never force one
While it reads:
Method and place written down: in the vehicle or on the table
Low speed in the vehicle; high speed only out of it
Time at the start and at the end written down
Afterwards:
The file read twice, both the same
Every table written out as a sheet and brought in here
Fuses back in, the vehicle starts, no new codes`;

/** The plan for getting the calibration out of the controller, ticked as it is done. The bench itself reads and writes no controller. */
export default function Reading({ desk }: StationProps) {
  const lists = desk.job?.checklists ?? {};
  const names = ["Any controller", ...Object.keys(lists)];
  const [name, setName] = useState(names[0]!);
  const [editing, setEditing] = useState<string>();
  const [newName, setNewName] = useState("");
  const text = lists[name] ?? GENERAL_PLAN;
  const ticks = desk.job?.ticks[name] ?? {};
  const items = text.split("\n").filter((line) => line.trim() !== "");
  return (
    <>
      <section>
        <h2>Plan for reading the controller</h2>
        <p>
          Follow the maker's instructions first; where they say otherwise they are right. A read that breaks off can leave a controller unusable: the supply
          decides more than anything else.
        </p>
        <label>
          <span>Plan</span>
          <select value={name} onChange={(event) => setName(event.target.value)}>
            {names.map((one) => (
              <option key={one}>{one}</option>
            ))}
          </select>
        </label>
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
        {editing === undefined ? (
          <div className="actions">
            <button type="button" onClick={() => setEditing(text)}>
              Write a plan of my own
            </button>
            <button type="button" className="primary" onClick={() => void desk.record("station.marked", { station: "reading", state: "done" })}>
              Reading done
            </button>
          </div>
        ) : (
          <form
            onSubmit={(event) => {
              event.preventDefault();
              void client
                .bookEvent("checklist.written", { name: newName, text: editing })
                .then(() => desk.renew())
                .then(() => {
                  setName(newName);
                  setEditing(undefined);
                });
            }}
          >
            <label className="wide">
              <span>Name of the plan, for example a family of controllers</span>
              <input required value={newName} onChange={(event) => setNewName(event.target.value)} />
            </label>
            <label className="wide">
              <span>One line an item; a line that ends with a colon is a heading</span>
              <textarea className="tall" value={editing} onChange={(event) => setEditing(event.target.value)} />
            </label>
            <div className="actions">
              <button type="submit" className="primary">
                Keep the plan
              </button>
              <button type="button" onClick={() => setEditing(undefined)}>
                Leave it
              </button>
            </div>
          </form>
        )}
      </section>
      <NoteBlock desk={desk} station="reading" />
    </>
  );
}
