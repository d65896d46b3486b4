import type { RecordingView } from "../../api/index.ts";
import { SIGNALS } from "../../core/units/index.ts";
import type { JobDesk } from "../state/job.ts";

/** Below this share a guess is worth a second look. */
const UNSURE = 0.8;

/** What each column was taken for and what was mended; a wrong guess is corrected once and remembered for every file like it. */
export function Columns({ recording, desk }: { recording: RecordingView; desk: JobDesk }) {
  const named = recording.signals.filter((signal) => signal.source !== undefined);
  const unsure = named.filter(({ confidence }) => confidence !== undefined && confidence < UNSURE).length;
  const correct = (column: string, signal: string): void => void desk.record("column.named", { file: recording.file, column, signal });
  const choice = (column: string, current: string) => (
    <select aria-label={`What "${column}" is`} value={current} onChange={(event) => correct(column, event.target.value)}>
      <option value="none">not used</option>
      {Object.entries(SIGNALS).map(([id, { name }]) => (
        <option key={id} value={id}>
          {name}
        </option>
      ))}
    </select>
  );
  return (
    <details>
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
            <tr key={signal.id}>
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
    </details>
  );
}
