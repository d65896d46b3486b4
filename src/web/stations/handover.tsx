import { useContext, useState } from "react";
import { Departure } from "../comeback/departure.tsx";
import { TimeAndParts } from "../handover/time-and-parts.tsx";
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
            Open it to print or save as PDF
          </a>
          <a className="as-button" href={href} download={`${desk.slug}-${kind}.html`}>
            Take the file
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
