import { useState } from "react";
import type { ReadView } from "../../api/index.ts";
import { plainDay } from "../state/days.ts";
import type { JobDesk } from "../state/job.ts";

const METHODS = ["In the vehicle, by its diagnostic socket", "On the table, by its connectors", "On the table, opened", "Sheets came with the vehicle"];
const OIL = [
  ["none", "none"],
  ["traces", "traces"],
  ["wet", "wet"],
] as const;
/** Below this while reading, a read is at risk: common practice, no published source. */
const LEAST_SUPPLY_V = 12.5;

/** How the calibration came out of the controller: what a later hand needs to know, and looks at first when something went wrong. */
export function ReadRecord({ desk, plan }: { desk: JobDesk; plan: string }) {
  const reads = desk.job?.reads ?? [];
  const [draft, setDraft] = useState<Readonly<Record<string, string>>>({ method: METHODS[0]!, oil: "none" });
  const set = (name: string) => (event: { target: { value: string } }) => setDraft({ ...draft, [name]: event.target.value });
  const number = (text: string | undefined): number | undefined => (text === undefined || text === "" ? undefined : Number(text));
  const supplyV = number(draft.supplyV);
  const keep = async (): Promise<void> => {
    const given = Object.fromEntries(Object.entries(draft).filter(([, value]) => value !== ""));
    await desk.record("controller.read", { ...given, plan, supplyV, minutes: number(draft.minutes) });
    setDraft({ method: draft.method!, oil: "none" });
  };
  return (
    <section className="read-record">
      <h2>How it was read</h2>
      {reads.map((read) => (
        <ReadEntry key={read.number} read={read} />
      ))}
      <form
        className="sheet"
        onSubmit={(event) => {
          event.preventDefault();
          void keep();
        }}
      >
        <div className="read-fields">
          <label className="two">
            <span>Method and place</span>
            <select value={draft.method} onChange={set("method")}>
              {METHODS.map((method) => (
                <option key={method}>{method}</option>
              ))}
            </select>
          </label>
          <label>
            <span>Supply while it ran [V]</span>
            <input type="number" step="0.1" min="1" max="60" value={draft.supplyV ?? ""} onChange={set("supplyV")} />
          </label>
          <label>
            <span>Oil in the connectors</span>
            <select value={draft.oil} onChange={set("oil")}>
              {OIL.map(([value, name]) => (
                <option key={value} value={value}>
                  {name}
                </option>
              ))}
            </select>
          </label>
          <label>
            <span>Fuses out</span>
            <input value={draft.fusesOut ?? ""} onChange={set("fusesOut")} placeholder="audio, alarm" />
          </label>
          <label>
            <span>Connectors</span>
            <input value={draft.connectors ?? ""} onChange={set("connectors")} placeholder="dry, pins straight" />
          </label>
          <label>
            <span>Began</span>
            <input type="time" value={draft.began ?? ""} onChange={set("began")} />
          </label>
          <label>
            <span>Took [min]</span>
            <input type="number" min="1" value={draft.minutes ?? ""} onChange={set("minutes")} />
          </label>
          <label>
            <span>Who</span>
            <input value={draft.who ?? ""} onChange={set("who")} />
          </label>
          <label className="two">
            <span>Anything else</span>
            <input value={draft.remark ?? ""} onChange={set("remark")} />
          </label>
        </div>
        {supplyV !== undefined && supplyV < LEAST_SUPPLY_V && (
          <p className="do">Under {LEAST_SUPPLY_V} V a read or a write can break off and leave the controller unusable: put a steady supply on first.</p>
        )}
        {draft.oil === "wet" && <p className="do">Do not connect: find where the oil wicks from, clean and dry both sides first.</p>}
        <div className="actions">
          <button type="submit">Write it down</button>
          <button type="button" className="primary" onClick={() => void desk.record("station.marked", { station: "reading", state: "done" })}>
            Reading done
          </button>
        </div>
      </form>
    </section>
  );
}

function ReadEntry({ read }: { read: ReadView }) {
  const facts = [
    read.supplyV === undefined ? "" : `${read.supplyV} V`,
    read.fusesOut === undefined ? "" : `fuses out: ${read.fusesOut}`,
    read.connectors === undefined ? "" : `connectors ${read.connectors}`,
    read.oil === undefined ? "" : `oil: ${read.oil}`,
    read.began === undefined ? "" : `began ${read.began}`,
    read.minutes === undefined ? "" : `${read.minutes} min`,
    read.remark ?? "",
  ].filter((fact) => fact !== "");
  return (
    <p className="read-entry">
      <strong>{read.method}</strong>
      <span>{facts.join(" · ")}</span>
      <span className="soft">
        {read.who ?? read.by}, {plainDay(read.at)}, plan: {read.plan}
      </span>
    </p>
  );
}
