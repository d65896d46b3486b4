import "../recordings/recordings.css";
import { useEffect, useState } from "react";
import { Columns } from "../recordings/columns.tsx";
import { recordingWords } from "../recordings/in-words.ts";
import { OverlayChoice, type OverlayOf } from "../recordings/overlay-choice.tsx";
import { Traces } from "../recordings/traces.tsx";
import type { StationProps } from "../shell/job-page.tsx";
import { NoteBlock } from "../widgets/notes.tsx";

/** The recordings themselves: traces in lanes, moments, evidence, and where on the operating map the engine was. */
export default function Recordings({ desk, query }: StationProps) {
  const { analysis } = desk;
  const asked = Number(query.get("r") ?? "0");
  const [index, setIndex] = useState(asked);
  const [overlay, setOverlay] = useState<OverlayOf>();
  useEffect(() => setIndex(asked), [asked]);
  const recording = analysis?.recordings.find((view) => view.index === index) ?? analysis?.recordings[0];
  if (analysis === undefined || recording === undefined)
    return (
      <>
        <p className="teach">
          Drop a recorded drive here: any table of text with a time column and a header. The bench finds the columns, the units and the clock by itself and says
          what it took for what.
        </p>
        <NoteBlock desk={desk} station="recordings" />
      </>
    );
  const from = query.get("from");
  const linked = from === null || recording.index !== asked ? undefined : { fromS: Number(from), toS: Number(query.get("to") ?? from) };
  return (
    <>
      <p className="lead recording-words">{recordingWords(recording, analysis)}</p>
      <div className="row recording-choice">
        <label>
          <span>Recording</span>
          <select
            value={recording.index}
            onChange={(event) => {
              setIndex(Number(event.target.value));
              setOverlay(undefined);
            }}
          >
            {analysis.recordings.map((view) => (
              <option key={view.index} value={view.index}>
                {view.file}, {(view.durationS / 60).toFixed(1)} min
              </option>
            ))}
          </select>
        </label>
        <OverlayChoice recordings={analysis.recordings} current={recording} overlay={overlay} change={setOverlay} />
        <a className="as-button" href={`#/drive/${encodeURIComponent(desk.slug)}`}>
          Plan the next drive
        </a>
      </div>
      <Traces key={`${recording.index} ${query}`} recording={recording} analysis={analysis} desk={desk} linked={linked} overlay={overlay} />
      <Columns recording={recording} desk={desk} />
      <NoteBlock desk={desk} station="recordings" />
    </>
  );
}
