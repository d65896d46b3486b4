import { useContext } from "react";
import { sweep } from "../../drawing/index.ts";
import type { StationProps } from "../shell/job-page.tsx";
import { shownIn, UnitsContext } from "../state/units.ts";
import { NoteBlock } from "../widgets/notes.tsx";
import { Figure } from "../widgets/picture.tsx";
import { SeverityMark } from "../widgets/severity.tsx";

/** Asked before every pull; the facility's own rules go first. Cautions CA-07 to CA-13 of the reference figures. */
const BEFORE_A_PULL = [
  "The facility's rules read; where they differ from this list they are right",
  "Vehicle held by rated straps at two points and against walking sideways, free wheels chocked",
  "Tyres: speed index, pressure, no cuts, no plugs, not over age",
  "Fan in front; coolant, oil and gearbox watched between pulls",
  "Exhaust extracted at the tailpipe, fresh air, carbon monoxide alarm worn or mounted",
  "Extinguishers for fuel and electrical fires at hand, a clear way out",
  "Hearing protection for everyone in the cell",
  "Nobody in line with or beside the rollers; one person says start and stop",
  "Who stops it, and how, agreed aloud",
];

/** Power and torque of the sweeps, what to stop for, and the list before the next pull. */
export default function Pulls({ desk }: StationProps) {
  const { analysis, job } = desk;
  const { system } = useContext(UnitsContext);
  const ticks = job?.ticks["before a pull"] ?? {};
  const pulls = analysis?.result.pulls ?? [];
  const stops = (analysis?.result.findings ?? []).filter((finding) => finding.check.startsWith("pull."));
  const power = shownIn("kW", system);
  const torque = shownIn("Nm", system);
  const known = (values: readonly (number | null)[]): number[] => values.map((value) => value ?? Number.NaN);
  const picture =
    analysis === undefined || analysis.sweeps.length === 0
      ? undefined
      : sweep({
          id: "sweeps",
          title: "Power and torque",
          caption: `At the roller, corrected by ${pulls[0]?.standard ?? "no standard"}, factor ${pulls[0]?.factor.toFixed(3) ?? "1"}; ${analysis.sweeps.length} sweeps.`,
          widthPx: 1000,
          x: { name: "Engine speed", unit: "rpm" },
          panels: [
            {
              quantity: { name: "Power", unit: power.unit },
              fromZero: true,
              lines: analysis.sweeps.map((one, i) => ({
                label: one.file.replace(/^pulls\//, ""),
                weight: i === 0 ? ("main" as const) : ("run" as const),
                x: known(one.rpm),
                y: known(one.powerKw).map(power.show),
              })),
            },
            {
              quantity: { name: "Torque", unit: torque.unit },
              fromZero: true,
              lines: analysis.sweeps.map((one, i) => ({
                label: one.file.replace(/^pulls\//, ""),
                weight: i === 0 ? ("main" as const) : ("run" as const),
                x: known(one.rpm),
                y: known(one.torqueNm).map(torque.show),
              })),
            },
          ],
        });
  return (
    <>
      {stops.map((finding) => (
        <article key={finding.summary} className="finding">
          <SeverityMark severity={finding.severity} />
          <div>
            <h3>{finding.summary}</h3>
            <ul className="because">
              {finding.because.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
            <p className="do">{finding.do}</p>
          </div>
        </article>
      ))}
      <section>
        <h2>Sweeps</h2>
        {pulls.length === 0 ? (
          <p className="teach">No sweeps yet. Drop the files of the dynamometer here: roller speed with force, or roller speed with its inertia.</p>
        ) : (
          <>
            {picture !== undefined && <Figure picture={picture} />}
            <table className="figures">
              <thead>
                <tr>
                  <th>Sweep</th>
                  <th>Power [{power.unit}]</th>
                  <th>at [rpm]</th>
                  <th>Torque [{torque.unit}]</th>
                  <th>at [rpm]</th>
                  <th>Standard</th>
                  <th>Factor</th>
                </tr>
              </thead>
              <tbody>
                {pulls.map((pull) => (
                  <tr key={pull.file}>
                    <td>{pull.file.replace(/^pulls\//, "")}</td>
                    <td>{power.show(pull.peakPowerKw).toFixed(1)}</td>
                    <td>{pull.peakPowerRpm.toFixed(0)}</td>
                    <td>{torque.show(pull.peakTorqueNm).toFixed(1)}</td>
                    <td>{pull.peakTorqueRpm.toFixed(0)}</td>
                    <td>{pull.standard}</td>
                    <td>{pull.factor.toFixed(4)}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </>
        )}
      </section>
      <section>
        <h2>Before the next pull</h2>
        <ul className="checklist">
          {BEFORE_A_PULL.map((item) => (
            <li key={item}>
              <label className="tick">
                <input
                  type="checkbox"
                  checked={ticks[item] === true}
                  onChange={(event) => void desk.record("checklist.ticked", { list: "before a pull", item, ticked: event.target.checked })}
                />
                <span>{item}</span>
              </label>
            </li>
          ))}
        </ul>
      </section>
      <NoteBlock desk={desk} station="pulls" />
    </>
  );
}
