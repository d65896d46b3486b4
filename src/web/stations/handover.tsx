import { useContext, useState } from "react";
import { Departure } from "../comeback/departure.tsx";
import type { StationProps } from "../shell/job-page.tsx";
import { client } from "../state/client.ts";
import { UnitsContext } from "../state/units.ts";
import { NoteBlock } from "../widgets/notes.tsx";

const KINDS = [
  ["owner", "For the owner", "What was found, done and not done, in plain words."],
  ["workshop", "For the workshop", "Every change with its reason, figures, files by hash."],
  ["job", "Everything", "The whole inspection with its pictures."],
] as const;

/** What leaves with the vehicle, and the time and parts for the invoice. */
export default function Handover({ desk }: StationProps) {
  const { system } = useContext(UnitsContext);
  const [kind, setKind] = useState<string>("owner");
  if (desk.analysis === undefined)
    return (
      <p className="teach">
        There is nothing to hand over yet. Bring the calibration and a recording; the report writes itself from what was found and decided.
      </p>
    );
  const href = client.reportHref(desk.slug, kind, system);
  return (
    <>
      <section>
        <h2>Report</h2>
        <div className="actions">
          {KINDS.map(([id, name, says]) => (
            <button key={id} type="button" aria-pressed={kind === id} className={kind === id ? "primary" : undefined} onClick={() => setKind(id)} title={says}>
              {name}
            </button>
          ))}
        </div>
        <p>{KINDS.find(([id]) => id === kind)![2]}</p>
        <iframe className="report-frame" title="The report" src={href} />
        <div className="actions">
          <a className="as-button" href={href} target="_blank" rel="noreferrer">
            Open it to print
          </a>
          <button type="button" className="primary" onClick={() => void desk.record("station.marked", { station: "handover", state: "done" })}>
            Handed over
          </button>
        </div>
      </section>
      <Departure desk={desk} />
      <TimeAndParts desk={desk} />
      <NoteBlock desk={desk} station="handover" />
    </>
  );
}

function TimeAndParts({ desk }: Pick<StationProps, "desk">) {
  const [minutes, setMinutes] = useState("");
  const [what, setWhat] = useState("");
  const [part, setPart] = useState("");
  const [quantity, setQuantity] = useState("1");
  const { job } = desk;
  const total = (job?.time ?? []).reduce((sum, entry) => sum + entry.minutes, 0);
  return (
    <section>
      <h2>Time and parts</h2>
      <p>
        {total} min logged, {(job?.parts ?? []).length} kinds of part used.
      </p>
      <ul>
        {(job?.time ?? []).map((entry) => (
          <li key={`${entry.at} ${entry.what}`}>
            {entry.minutes} min: {entry.what}
          </li>
        ))}
        {(job?.parts ?? []).map((entry) => (
          <li key={`${entry.at} ${entry.part}`}>
            {entry.quantity} × {entry.part}
          </li>
        ))}
      </ul>
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          void desk.record("time.logged", { minutes: Number(minutes), what }).then(() => setWhat(""));
        }}
      >
        <label>
          <span>Minutes</span>
          <input type="number" min="1" required value={minutes} onChange={(event) => setMinutes(event.target.value)} />
        </label>
        <label>
          <span>Spent on</span>
          <input required value={what} onChange={(event) => setWhat(event.target.value)} />
        </label>
        <button type="submit">Log the time</button>
      </form>
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          void desk.record("part.used", { part, quantity: Number(quantity) }).then(() => setPart(""));
        }}
      >
        <label>
          <span>Number</span>
          <input type="number" min="1" required value={quantity} onChange={(event) => setQuantity(event.target.value)} />
        </label>
        <label>
          <span>Part</span>
          <input required value={part} onChange={(event) => setPart(event.target.value)} />
        </label>
        <button type="submit">Add the part</button>
      </form>
    </section>
  );
}
