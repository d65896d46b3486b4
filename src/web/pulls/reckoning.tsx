import { useState } from "react";
import type { PullsView } from "../../api/index.ts";
import type { StationProps } from "../shell/job-page.tsx";

/** By which standard, and with what loss, the sweeps are reckoned: written to the intake sheet, so that report and command say the same. */
export function CoastDownAndStandard({ desk, view }: Pick<StationProps, "desk"> & { view: PullsView }) {
  const { settings } = view;
  const [standard, setStandard] = useState(view.standard);
  const [lossPercent, setLossPercent] = useState(String(settings.lossPercent ?? ""));
  const [coastDown, setCoastDown] = useState(settings.coastDown ?? "");
  const [massKg, setMassKg] = useState(String(settings.coastDownMassKg ?? ""));
  const told = view.standards.find(({ id }) => id === standard);
  const intake = desk.analysis?.intake ?? desk.job?.intake;
  return (
    <section>
      <h2>How they are reckoned</h2>
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          if (intake === undefined) return;
          const dynamometer = {
            standard,
            ...(coastDown === "" ? {} : { coastDown }),
            ...(Number(massKg) > 0 ? { coastDownMassKg: Number(massKg) } : {}),
            ...(Number(lossPercent) > 0 ? { lossPercent: Number(lossPercent) } : {}),
          };
          void desk.record("intake.written", { intake: { ...intake, dynamometer } });
        }}
      >
        <label>
          <span>Standard</span>
          <select value={standard} onChange={(event) => setStandard(event.target.value)}>
            {view.standards.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <label>
          <span>Coast-down</span>
          <select value={coastDown} onChange={(event) => setCoastDown(event.target.value)}>
            <option value="">none, or the file that is named so</option>
            {view.files.map((file) => (
              <option key={file} value={file}>
                {file}
              </option>
            ))}
          </select>
        </label>
        <label>
          <span>Mass that coasts [kg]</span>
          <input type="number" min="1" step="any" value={massKg} onChange={(event) => setMassKg(event.target.value)} />
        </label>
        <label>
          <span>Loss to the rollers, stated [%]</span>
          <input type="number" min="0" max="50" step="any" value={lossPercent} onChange={(event) => setLossPercent(event.target.value)} />
        </label>
        <button type="submit" disabled={intake === undefined}>
          Reckon anew
        </button>
      </form>
      {told !== undefined && (
        <p className="small">
          {told.title}. Refers to {told.reference}; {told.limits}.{" "}
          {view.boosted ? `This engine is boosted: ${told.boosted}.` : `Boosted engines: ${told.boosted}.`}
        </p>
      )}
      <p className="small">
        A coast-down measured on the rollers gives the loss of tyres and driveline, and with it an estimate at the flywheel; one from the road gives the drag
        that a road sweep needs. Without one, a loss can be stated, and is printed as stated.
      </p>
    </section>
  );
}
