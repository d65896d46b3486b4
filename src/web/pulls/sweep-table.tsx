import { useContext } from "react";
import type { PullsView } from "../../api/index.ts";
import { shownIn, UnitsContext } from "../state/units.ts";
import { Drawn } from "../widgets/picture.tsx";

type Series = PullsView["revisions"][number];
type Gain = PullsView["gains"][number];

const shortFile = (file: string): string => file.replace(/^pulls\//, "").replace(/\.csv$/i, "");
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Figures of the sweeps of one calibration, each with standard, factor and ambient, then their picture. */
export function SweepTable({ series, isFolded = false }: { series: Series; isFolded?: boolean }) {
  const { system } = useContext(UnitsContext);
  const [power, torque] = [shownIn("kW", system), shownIn("Nm", system)];
  const [pressure, temperature] = [shownIn("kPa", system), shownIn("°C", system)];
  const results = series.sweeps.flatMap(({ result }) => (result === undefined ? [] : [result]));
  const beyond = [...new Set(results.flatMap(({ beyondLimits }) => (beyondLimits === undefined ? [] : [beyondLimits])))];
  const shared = (results[0]?.remarks ?? []).filter((line) => results.every((result) => result.remarks?.includes(line) === true));
  const ambients = [
    ...new Set(
      results.flatMap(({ ambient }) =>
        ambient === undefined
          ? []
          : [
              `${pressure.show(ambient.pressureKpa).toFixed(system === "imperial" ? 2 : 1)} ${pressure.unit}, ${temperature.show(ambient.temperatureC).toFixed(1)} ${temperature.unit}, ${ambient.relativeHumidityPercent.toFixed(0)} % humidity (${ambient.source})`,
            ],
      ),
    ),
  ];
  const flywheel = results.find((result) => result.flywheel !== undefined)?.flywheel;
  return (
    <section>
      <h2>{capital(series.name)}</h2>
      <p>{series.repeats}</p>
      <div className="scroll">
        <table className="figures">
          <thead>
            <tr>
              <th scope="col">Sweep</th>
              <th scope="col">Power [{power.unit}]</th>
              <th scope="col">at [rpm]</th>
              <th scope="col">Torque [{torque.unit}]</th>
              <th scope="col">at [rpm]</th>
              <th scope="col">Factor</th>
              {beyond.length > 0 && <th scope="col">As measured [{power.unit}]</th>}
              <th scope="col">Gear</th>
            </tr>
          </thead>
          <tbody>
            {series.sweeps.map(({ file, result, couldNot, gear, ratioToListed }) =>
              result === undefined ? (
                <tr key={file}>
                  <th scope="row">{shortFile(file)}</th>
                  <td colSpan={beyond.length > 0 ? 7 : 6}>{couldNot.join("; ")}</td>
                </tr>
              ) : (
                <tr key={file}>
                  <th scope="row">{shortFile(file)}</th>
                  <td>{power.show(result.peakPowerKw).toFixed(1)}</td>
                  <td>{result.peakPowerRpm.toFixed(0)}</td>
                  <td>{torque.show(result.peakTorqueNm).toFixed(1)}</td>
                  <td>{result.peakTorqueRpm.toFixed(0)}</td>
                  <td>
                    {result.factor.toFixed(4)}
                    {result.beyondLimits === undefined ? "" : " †"}
                  </td>
                  {beyond.length > 0 && <td>{power.show(result.peakPowerKw / result.factor).toFixed(1)}</td>}
                  <td>
                    {gear ?? "–"}
                    {ratioToListed !== undefined && Math.abs(ratioToListed - 1) > 0.01
                      ? `, ratio ${(100 * (ratioToListed - 1)).toFixed(1)} % off the intake`
                      : ""}
                  </td>
                </tr>
              ),
            )}
          </tbody>
        </table>
      </div>
      <p className="small">
        {[...new Set(results.map(({ standard }) => standard))].join(", ")}, at the rollers; {ambients.join("; ") || "no ambient values"}.
      </p>
      {beyond.map((why) => (
        <p key={why} className="small">
          † {why}. Quote the figures as measured beside the corrected ones.
        </p>
      ))}
      {flywheel !== undefined && (
        <p className="small">
          At the flywheel, estimated: {power.show(flywheel.peakPowerKw).toFixed(0)} {power.unit} and {torque.show(flywheel.peakTorqueNm).toFixed(0)}{" "}
          {torque.unit}; {flywheel.basis}.
        </p>
      )}
      {series.picture !== null && !isFolded && <Drawn picture={series.picture} />}
      {series.picture !== null && isFolded && (
        <details>
          <summary>The picture of these sweeps</summary>
          <Drawn picture={series.picture} />
        </details>
      )}
      <details>
        <summary>How each sweep was reckoned</summary>
        {shared.length > 0 && <Lines title="All sweeps" lines={shared} />}
        {results.map((result) => (
          <Lines
            key={result.file}
            title={shortFile(result.file)}
            lines={[result.smoothing ?? "", ...(result.remarks ?? []).filter((line) => !shared.includes(line))].filter((line) => line !== "")}
          />
        ))}
      </details>
    </section>
  );
}

function Lines({ title, lines }: { title: string; lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <>
      <h3>{title}</h3>
      <ul className="because">
        {lines.map((line) => (
          <li key={line}>{capital(line)}</li>
        ))}
      </ul>
    </>
  );
}

const MEASURES: Readonly<Record<string, string>> = { curve: "Torque over the common speeds", "peak power": "Peak power", "peak torque": "Peak torque" };

const signed = (value: number): string => `${value > 0 ? "+" : value < 0 ? "−" : ""}${Math.abs(value).toFixed(1)} %`;

/** Whether one calibration gives more than another, or the sweeps merely scatter. */
export function GainBlock({ gain }: { gain: Gain }) {
  return (
    <section>
      <h2>
        {capital(gain.to)} against {gain.from}
      </h2>
      <p className="lead">{gain.summary}</p>
      {gain.remarks.map((line) => (
        <p key={line} className="small">
          {capital(line)}.
        </p>
      ))}
      {gain.measures.length > 0 && (
        <div className="scroll">
          <table className="figures">
            <thead>
              <tr>
                <th scope="col">Measure</th>
                <th scope="col">Difference</th>
                <th scope="col">95 % interval</th>
                <th scope="col" className="text">
                  Verdict
                </th>
              </tr>
            </thead>
            <tbody>
              {gain.measures.map((one) => (
                <tr key={one.measure}>
                  <th scope="row">{MEASURES[one.measure] ?? one.measure}</th>
                  <td>{signed(one.differencePercent)}</td>
                  <td>
                    {signed(one.lowPercent)} to {signed(one.highPercent)}
                  </td>
                  <td className="text">{one.verdict === "not distinguishable" ? "scatter: not distinguishable" : one.verdict}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {gain.picture !== null && <Drawn picture={gain.picture} />}
    </section>
  );
}
