import { useContext } from "react";
import { SWITCHED_UNITS, shownIn, UnitsContext } from "../state/units.ts";
import { useKeys } from "./keys.tsx";

/** Metric or not, quantity by quantity: a shop may think in kilopascals and pound-feet. */
export function UnitChoices({ close }: { close: () => void }) {
  const units = useContext(UnitsContext);
  useKeys({ Escape: close });
  return (
    <aside className="key-help unit-choices" aria-label="Units by quantity">
      <h2>Units by quantity</h2>
      {SWITCHED_UNITS.map(([unit, name]) => (
        <label key={unit}>
          <span>{name}</span>
          <select
            value={units.chosen[unit] ?? units.system}
            onChange={(event) => units.choose(unit, event.target.value === "imperial" ? "imperial" : "metric")}
          >
            <option value="metric">{unit}</option>
            <option value="imperial">{shownIn(unit, "imperial").unit}</option>
          </select>
        </label>
      ))}
      <p className="actions">
        <button type="button" onClick={close}>
          Close
        </button>
      </p>
    </aside>
  );
}
