import { type ReactNode, useContext, useState } from "react";
import { applyTheme, type ThemeChoice, themeChoice } from "../state/theme.ts";
import { SWITCHED_UNITS, UnitsContext } from "../state/units.ts";
import { UnitChoices } from "./unit-choices.tsx";

/** The line at the head of every page: where one is, what can be done here, and how things are shown. */
export function TopBar({ title, under, back, mark, children }: { title: string; under?: string; back?: string; mark?: string; children?: ReactNode }) {
  const units = useContext(UnitsContext);
  const [theme, setTheme] = useState<ThemeChoice>(themeChoice());
  const [isChoosing, setChoosing] = useState(false);
  const isMixed = SWITCHED_UNITS.some(([unit]) => (units.chosen[unit] ?? units.system) !== units.system);
  const change = (next: ThemeChoice): void => {
    setTheme(next);
    applyTheme(next);
  };
  return (
    <header className="top-bar">
      {back !== undefined && (
        <a className="back" href={back}>
          All jobs
        </a>
      )}
      <div className="top-title">
        <h1>
          {title}
          {mark !== undefined && <span className="book-mark">{mark}</span>}
        </h1>
        {under !== undefined && under !== "" && <p>{under}</p>}
      </div>
      <div className="top-actions">{children}</div>
      <div className="top-choices">
        <label>
          <span>Units</span>
          <select
            value={isMixed ? "mixed" : units.system}
            onChange={(event) => {
              if (event.target.value === "each") setChoosing(true);
              else units.change(event.target.value === "imperial" ? "imperial" : "metric");
            }}
          >
            <option value="metric">metric</option>
            <option value="imperial">inches, pounds</option>
            {isMixed && <option value="mixed">mixed</option>}
            <option value="each">by quantity …</option>
          </select>
        </label>
        <label>
          <span>Light</span>
          <select value={theme} onChange={(event) => change(event.target.value as ThemeChoice)}>
            <option value="system">as the system</option>
            <option value="paper">paper</option>
            <option value="bay">bay</option>
          </select>
        </label>
      </div>
      {isChoosing && <UnitChoices close={() => setChoosing(false)} />}
    </header>
  );
}
