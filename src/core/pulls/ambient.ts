import { median } from "../../base/index.ts";
import { type AmbientAir, saturationPressureKpa } from "../physics/index.ts";
import { channelValues, type Recording } from "../recordings/index.ts";
import type { Intake } from "../result/index.ts";
import type { SweepNotes } from "./preamble.ts";

/** Ambient of a sweep with where each part came from. `remarks` name what was taken in place of a missing reading. */
export interface SweepAmbient {
  readonly air: AmbientAir | undefined;
  readonly source: string;
  readonly remarks: readonly string[];
}

interface Part {
  readonly value: number;
  readonly from: string;
}

/** Humidity that is assumed where nobody wrote it down: moderate, and worth half a percent of power at most in ordinary weather. */
const ASSUMED_HUMIDITY_PERCENT = 50;

function firstKnown(...parts: readonly (readonly [value: number | undefined, from: string])[]): Part | undefined {
  for (const [value, from] of parts) if (value !== undefined && Number.isFinite(value)) return { value, from };
  return undefined;
}

/** Median of a channel's first seconds: before the engine bay heats the sensor. */
function atStart(recording: Recording, signal: "baro" | "iat"): number | undefined {
  const values = channelValues(recording, signal);
  if (values === undefined) return undefined;
  const value = median(values.filter((_, i) => recording.timeS[i]! < 3));
  return Number.isNaN(value) ? undefined : value;
}

function humidityOf(notes: SweepNotes, temperatureC: number): number | undefined {
  if (notes.relativeHumidityPercent !== undefined) return notes.relativeHumidityPercent;
  const vapourKpa = notes.vapourKpa ?? (notes.dewPointC === undefined ? undefined : saturationPressureKpa(notes.dewPointC));
  return vapourKpa === undefined ? undefined : (100 * vapourKpa) / saturationPressureKpa(temperatureC);
}

/** Ambient of a sweep: the sweep file's own notes first, then the intake sheet, then what the vehicle recorded. */
export function ambientOfSweep(notes: SweepNotes, recording: Recording, intake: Intake): SweepAmbient {
  const pressure = firstKnown(
    [notes.pressureKpa, "sweep file"],
    [intake.ambient?.pressureKpa, "intake sheet"],
    [atStart(recording, "baro"), "recorded barometric pressure"],
  );
  const temperature = firstKnown(
    [notes.temperatureC, "sweep file"],
    [intake.ambient?.temperatureC, "intake sheet"],
    [atStart(recording, "iat"), "recorded intake air"],
  );
  if (pressure === undefined || temperature === undefined) {
    const lacking = pressure === undefined ? "ambient pressure" : "ambient temperature";
    return { air: undefined, source: "", remarks: [`${lacking} is neither in the sweep file nor in the intake sheet nor recorded: power is left uncorrected`] };
  }
  const humidity =
    firstKnown([humidityOf(notes, temperature.value), "sweep file"], [intake.ambient?.relativeHumidityPercent, "intake sheet"]) ??
    ({ value: ASSUMED_HUMIDITY_PERCENT, from: "assumed" } satisfies Part);
  const parts = { pressure, temperature, humidity };
  const places = [...new Set(Object.values(parts).map((part) => part.from))];
  const source =
    places.length === 1
      ? places[0]!
      : Object.entries(parts)
          .map(([name, part]) => `${name}: ${part.from}`)
          .join(", ");
  return {
    air: { pressureKpa: pressure.value, temperatureC: temperature.value, relativeHumidityPercent: humidity.value },
    source,
    remarks: remarksOn(parts),
  };
}

function remarksOn(parts: { readonly pressure: Part; readonly temperature: Part; readonly humidity: Part }): string[] {
  const remarks: string[] = [];
  if (parts.pressure.from !== "sweep file") remarks.push(`ambient pressure taken from the ${parts.pressure.from}, not measured beside the rollers`);
  if (parts.temperature.from === "recorded intake air") remarks.push("ambient temperature taken from the intake air sensor, which heat soak raises");
  if (parts.humidity.from === "assumed") remarks.push(`relative humidity is not known; ${ASSUMED_HUMIDITY_PERCENT} % assumed`);
  return remarks;
}
