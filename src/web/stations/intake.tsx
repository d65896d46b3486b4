import { useEffect, useState } from "react";
import type { Intake } from "../../core/result/index.ts";
import { FilesBlock } from "../intake/files-block.tsx";
import type { StationProps } from "../shell/job-page.tsx";
import { useShown } from "../state/units.ts";
import { NoteBlock } from "../widgets/notes.tsx";
import { WaitBlock } from "../widgets/waits.tsx";

type Path = readonly string[];

/** A fact of the sheet: where it lies, what it is called, its canonical unit ("" a number without one, undefined words). */
interface Fact {
  readonly path: Path;
  readonly name: string;
  readonly unit?: string;
  readonly choices?: readonly (readonly [value: string, name: string])[];
  readonly required?: boolean;
}

const GROUPS: readonly { readonly title: string; readonly facts: readonly Fact[] }[] = [
  {
    title: "Engine",
    facts: [
      { path: ["engine", "displacementL"], name: "Displacement", unit: "L", required: true },
      { path: ["engine", "cylinders"], name: "Cylinders", unit: "", required: true },
      { path: ["engine", "compressionRatio"], name: "Compression ratio", unit: "" },
      {
        path: ["engine", "boosted"],
        name: "Boosted",
        choices: [
          ["true", "yes"],
          ["false", "no"],
        ],
      },
      {
        path: ["engine", "camChanged"],
        name: "Camshaft changed",
        choices: [
          ["true", "yes"],
          ["false", "no"],
        ],
      },
      { path: ["engine", "camDurationDeg"], name: "Cam duration", unit: "deg" },
      { path: ["engine", "intake"], name: "Intake" },
      { path: ["engine", "exhaust"], name: "Exhaust" },
    ],
  },
  {
    title: "Fuel and injectors",
    facts: [
      { path: ["fuel", "ethanolPercentVolume"], name: "Ethanol by volume", unit: "%" },
      { path: ["fuel", "railPressureKpa"], name: "Rail pressure, gauge", unit: "kPa" },
      {
        path: ["fuel", "railReference"],
        name: "Rail referred to",
        choices: [
          ["atmosphere", "atmosphere"],
          ["manifold", "manifold"],
        ],
      },
      { path: ["injectors", "label"], name: "Injectors" },
    ],
  },
  {
    title: "Vehicle",
    facts: [
      { path: ["vehicle", "label"], name: "Vehicle" },
      { path: ["vehicle", "year"], name: "Year", unit: "" },
      { path: ["vehicle", "transmission"], name: "Transmission" },
      { path: ["vehicle", "axleRatio"], name: "Axle ratio", unit: "" },
      { path: ["vehicle", "tireRevsPerKm"], name: "Tyre revolutions", unit: "1/km" },
      { path: ["vehicle", "massKg"], name: "Mass", unit: "kg" },
    ],
  },
  {
    title: "The day and the sensors",
    facts: [
      { path: ["ambient", "pressureKpa"], name: "Ambient pressure", unit: "kPa" },
      { path: ["ambient", "temperatureC"], name: "Ambient temperature", unit: "°C" },
      { path: ["ambient", "relativeHumidityPercent"], name: "Relative humidity", unit: "%" },
      {
        path: ["sensors", "widebandFitted"],
        name: "Wide-range lambda fitted",
        choices: [
          ["true", "yes"],
          ["false", "no"],
        ],
      },
      {
        path: ["sensors", "widebandBank"],
        name: "It sits on bank",
        choices: [
          ["1", "1"],
          ["2", "2"],
        ],
      },
      {
        path: ["sensors", "airMeterFitted"],
        name: "Airflow meter fitted",
        choices: [
          ["true", "yes"],
          ["false", "no"],
        ],
      },
    ],
  },
];

type Draft = { readonly [key: string]: unknown };

function at(intake: Draft, path: Path): unknown {
  return path.reduce<unknown>((value, key) => (typeof value === "object" && value !== null ? (value as Draft)[key] : undefined), intake);
}

function withAt(intake: Draft, path: Path, value: unknown): Draft {
  const [head, ...rest] = path as [string, ...string[]];
  const inner = rest.length === 0 ? value : withAt((intake[head] as Draft | undefined) ?? {}, rest, value);
  if (inner === undefined) {
    const { [head]: _gone, ...left } = intake;
    return left;
  }
  return { ...intake, [head]: inner };
}

/** The facts of the vehicle, typed in or from the sheet that came with it; and what the job waits for. */
export default function IntakeStation({ desk }: StationProps) {
  const { job, analysis } = desk;
  const kept = job?.intake;
  const [draft, setDraft] = useState<Draft>({ engine: {} });
  const [changed, setChanged] = useState(false);
  useEffect(() => {
    setDraft((kept ?? analysis?.intake ?? { engine: {} }) as unknown as Draft);
    setChanged(false);
  }, [kept, analysis?.intake]);
  const set = (path: Path, value: unknown): void => {
    setDraft(withAt(draft, path, value));
    setChanged(true);
  };
  const complete = Number(at(draft, ["engine", "displacementL"])) > 0 && Number(at(draft, ["engine", "cylinders"])) > 0;
  return (
    <>
      <form
        className="sheet"
        onSubmit={(event) => {
          event.preventDefault();
          void desk.record("intake.written", { intake: draft as unknown as Intake });
        }}
      >
        <h2>What came in</h2>
        <label className="wide">
          <span>Complaint, in the owner's words</span>
          <textarea value={String(draft.complaint ?? "")} onChange={(event) => set(["complaint"], event.target.value)} />
        </label>
        <label className="wide">
          <span>What was changed, one thing a line</span>
          <textarea
            value={((draft.changes as readonly string[] | undefined) ?? []).join("\n")}
            onChange={(event) =>
              set(
                ["changes"],
                event.target.value.split("\n").filter((line) => line.trim() !== ""),
              )
            }
          />
        </label>
        {GROUPS.map((group) => (
          <fieldset key={group.title}>
            <legend>{group.title}</legend>
            {group.facts.map((fact) => (
              <FactField key={fact.path.join(".")} fact={fact} value={at(draft, fact.path)} set={(value) => set(fact.path, value)} />
            ))}
          </fieldset>
        ))}
        <div className="actions">
          <button type="submit" className="primary" disabled={!changed || !complete}>
            Keep the sheet
          </button>
          {!complete && <p>Displacement and cylinders are needed; everything else may be missing, and the bench says what it could not do without it.</p>}
        </div>
      </form>
      <div className="beside">
        <FilesBlock desk={desk} />
        <div>
          <WaitBlock desk={desk} />
          <NoteBlock desk={desk} station="intake" />
        </div>
      </div>
    </>
  );
}

function FactField({ fact, value, set }: { fact: Fact; value: unknown; set: (value: unknown) => void }) {
  const shown = useShown(fact.unit ?? "");
  if (fact.choices !== undefined) {
    return (
      <label>
        <span>{fact.name}</span>
        <select value={value === undefined ? "" : String(value)} onChange={(event) => set(choiceOf(event.target.value))}>
          <option value="">not known</option>
          {fact.choices.map(([choice, name]) => (
            <option key={choice} value={choice}>
              {name}
            </option>
          ))}
        </select>
      </label>
    );
  }
  if (fact.unit === undefined)
    return (
      <label>
        <span>{fact.name}</span>
        <input value={String(value ?? "")} onChange={(event) => set(event.target.value === "" ? undefined : event.target.value)} />
      </label>
    );
  return (
    <label>
      <span>
        {fact.name}
        {shown.unit === "" ? "" : ` [${shown.unit}]`}
      </span>
      <input
        type="number"
        step="any"
        required={fact.required}
        value={typeof value === "number" ? Number(shown.show(value).toPrecision(8)) : ""}
        onChange={(event) => set(event.target.value === "" ? undefined : shown.read(Number(event.target.value)))}
      />
    </label>
  );
}

function choiceOf(text: string): unknown {
  if (text === "") return undefined;
  if (text === "true" || text === "false") return text === "true";
  return /^\d+$/.test(text) ? Number(text) : text;
}
