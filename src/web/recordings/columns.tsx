import { useState } from "react";
import type { RecordingView } from "../../api/index.ts";
import { SIGNALS, type SignalId } from "../../core/units/index.ts";
import { client } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";

/** Below this share a guess is worth a second look. */
const UNSURE = 0.8;

/** What each column was taken for and what was mended; a wrong guess is corrected once and remembered for every file like it. */
export function Columns({ recording, desk }: { recording: RecordingView; desk: JobDesk }) {
  const [isForAll, setForAll] = useState(true);
  const [problem, setProblem] = useState("");
  const named = recording.signals.filter((signal) => signal.source !== undefined);
  const unsure = named.filter(({ confidence }) => confidence !== undefined && confidence < UNSURE).length;
  const learned = desk.job?.learnedColumns ?? {};
  const here = [...named.map((signal) => signal.source!), ...recording.unrecognised].filter((column) => learned[column] !== undefined);
  const guarded = (work: Promise<unknown>): void => void work.then(() => setProblem("")).catch((error: Error) => setProblem(error.message));
  // What was said of this file alone goes before what holds for all: where something was, it is said anew.
  const correct = async (column: string, signal: string): Promise<void> => {
    const isNamedHere = desk.job?.namedColumns.some((one) => one.file === recording.file && one.column === column) ?? false;
    if (isForAll) await client.bookEvent("column.learned", { column, signal });
    if (!isForAll || isNamedHere) await desk.record("column.named", { file: recording.file, column, signal });
    else await desk.renew();
  };
  const forget = async (column: string): Promise<void> => {
    await client.bookEvent("column.forgotten", { column });
    await desk.renew();
  };
  const choice = (column: string, current: string) => (
    <select aria-label={`What "${column}" is`} value={current} onChange={(event) => guarded(correct(column, event.target.value))}>
      <option value="none">not used</option>
      {Object.entries(SIGNALS).map(([id, { name }]) => (
        <option key={id} value={id}>
          {name}
        </option>
      ))}
    </select>
  );
  return (
    <details className="columns-block">
      <summary>
        Columns: {named.length} recognised{unsure === 0 ? "" : `, ${unsure} of them worth a look`}; {recording.unrecognised.length} not recognised
      </summary>
      {recording.repairs.length > 0 && (
        <>
          <h3>Mended on reading</h3>
          <ul className="because">
            {recording.repairs.map((repair) => (
              <li key={repair}>{repair}</li>
            ))}
          </ul>
        </>
      )}
      <label className="tick">
        <input type="checkbox" checked={isForAll} onChange={(event) => setForAll(event.target.checked)} />
        <span>What I correct holds for every recording whose logger calls the column so, in this job and all others</span>
      </label>
      {problem !== "" && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
      <table className="figures columns">
        <thead>
          <tr>
            <th scope="col">Column in the file</th>
            <th scope="col">Taken for</th>
            <th scope="col">Sure [%]</th>
          </tr>
        </thead>
        <tbody>
          {named.map((signal) => (
            <tr key={signal.id} className={signal.confidence !== undefined && signal.confidence < UNSURE ? "unsure" : undefined}>
              <th scope="row">{signal.source}</th>
              <td>{choice(signal.source!, signal.id)}</td>
              <td>{signal.confidence === undefined ? "–" : Math.round(100 * signal.confidence)}</td>
            </tr>
          ))}
          {recording.unrecognised.map((column) => (
            <tr key={column}>
              <th scope="row">{column}</th>
              <td>{choice(column, "none")}</td>
              <td>–</td>
            </tr>
          ))}
        </tbody>
      </table>
      {here.length > 0 && (
        <>
          <h3>Remembered of these for every recording</h3>
          <ul className="learned">
            {here.sort().map((column) => (
              <li key={column}>
                “{column}” is {nameOf(learned[column]!)}{" "}
                <button type="button" aria-label={`Forget what "${column}" is`} onClick={() => guarded(forget(column))}>
                  Forget
                </button>
              </li>
            ))}
          </ul>
        </>
      )}
    </details>
  );
}

function nameOf(signal: string): string {
  return signal === "none" ? "not used" : (SIGNALS[signal as SignalId]?.name.toLowerCase() ?? signal);
}
