import { useState } from "react";
import type { StationProps } from "../shell/job-page.tsx";
import { client } from "../state/client.ts";

/** Hours and minutes as they are said: "1 h 30 min". */
function spoken(minutes: number): string {
  const hours = Math.floor(minutes / 60);
  const rest = Math.round(minutes - 60 * hours);
  return hours === 0 ? `${rest} min` : rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

/** Time and parts of the job, entered here and taken away as CSV, so that the invoice can be written elsewhere. */
export function TimeAndParts({ desk }: Pick<StationProps, "desk">) {
  const time = desk.job?.time ?? [];
  const parts = desk.job?.parts ?? [];
  const minutes = time.reduce((sum, entry) => sum + entry.minutes, 0);
  const price = parts.reduce((sum, entry) => sum + (entry.price ?? 0) * entry.quantity, 0);
  return (
    <section>
      <h2>Time and parts</h2>
      <p>
        {minutes === 0 ? "No time logged" : `${spoken(minutes)} logged`};{" "}
        {parts.length === 0 ? "no parts fitted" : `${parts.length} ${parts.length === 1 ? "part" : "parts"} entered`}
        {price > 0 ? `, ${price.toFixed(2)} together` : ""}.
      </p>
      {time.length + parts.length > 0 && (
        <>
          <div className="scroll">
            <table className="figures costs">
              <thead>
                <tr>
                  <th scope="col">Date</th>
                  <th scope="col" className="text">
                    What
                  </th>
                  <th scope="col">How much</th>
                  <th scope="col">Price each</th>
                </tr>
              </thead>
              <tbody>
                {time.map((entry) => (
                  <tr key={`${entry.at} ${entry.what}`}>
                    <th scope="row">{entry.at.slice(0, 10)}</th>
                    <td className="text">{entry.what}</td>
                    <td>{spoken(entry.minutes)}</td>
                    <td>–</td>
                  </tr>
                ))}
                {parts.map((entry) => (
                  <tr key={`${entry.at} ${entry.part}`}>
                    <th scope="row">{entry.at.slice(0, 10)}</th>
                    <td className="text">
                      {entry.part}
                      {entry.quality === undefined ? "" : ` (${entry.quality})`}
                    </td>
                    <td>{entry.quantity} pc</td>
                    <td>{entry.price === undefined ? "–" : entry.price.toFixed(2)}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
          <div className="actions">
            <a className="as-button" href={client.costsHref(desk.slug)} download>
              Take it away as CSV
            </a>
          </div>
        </>
      )}
      <TimeForm desk={desk} />
      <PartForm desk={desk} />
    </section>
  );
}

function TimeForm({ desk }: Pick<StationProps, "desk">) {
  const [minutes, setMinutes] = useState("");
  const [what, setWhat] = useState("");
  return (
    <form
      className="row"
      onSubmit={(event) => {
        event.preventDefault();
        void desk.record("time.logged", { minutes: Number(minutes), what: what.trim() }).then(() => {
          setMinutes("");
          setWhat("");
        });
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
  );
}

function PartForm({ desk }: Pick<StationProps, "desk">) {
  const [part, setPart] = useState("");
  const [quantity, setQuantity] = useState("1");
  const [quality, setQuality] = useState("");
  const [price, setPrice] = useState("");
  return (
    <form
      className="row"
      onSubmit={(event) => {
        event.preventDefault();
        const told = { ...(quality.trim() === "" ? {} : { quality: quality.trim() }), ...(Number(price) > 0 ? { price: Number(price) } : {}) };
        void desk.record("part.used", { part: part.trim(), quantity: Number(quantity), ...told }).then(() => {
          setPart("");
          setQuality("");
          setPrice("");
        });
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
      <label>
        <span>Quality</span>
        <input value={quality} onChange={(event) => setQuality(event.target.value)} placeholder="original maker, …" />
      </label>
      <label>
        <span>Price each</span>
        <input type="number" min="0" step="0.01" value={price} onChange={(event) => setPrice(event.target.value)} />
      </label>
      <button type="submit">Add the part</button>
    </form>
  );
}
