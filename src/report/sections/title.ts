import { decimalsFor, decimalsOf, formatNumber, formatWithInterval, unitAfter } from "../../drawing/index.ts";
import type { Context } from "../context.ts";
import { facts, paragraph, text } from "../html.ts";
import { capital } from "../texts/index.ts";

/** The vehicle's name as a heading. */
export function vehicleName({ model, texts }: Context): string {
  const label = model.intake.vehicle?.label;
  return label === undefined || label.trim() === "" ? texts.unnamedVehicle : capital(label.trim());
}

/** A value with its unit, as it is shown. */
export function shown({ measures }: Context, value: number, unit: string, decimals?: number): string {
  const measure = measures(unit);
  const displayed = measure.of(value);
  return unitAfter(formatNumber(displayed, decimals ?? Math.min(2, decimalsFor(displayed))), measure.symbol === "–" ? "" : measure.symbol);
}

export function totalMinutes({ model }: Context): string {
  const seconds = model.result.recordings.reduce((sum, recording) => sum + recording.durationS, 0);
  return minutesText(seconds);
}

export function minutesText(seconds: number): string {
  return seconds < 90 ? `${Math.round(seconds)} s` : seconds < 600 ? `${formatNumber(seconds / 60, 1)} min` : `${Math.round(seconds / 60)} min`;
}

/** Head of a report: what it is, which vehicle, and in a paragraph what was found. */
export function titleBlock(context: Context, kind: string, lead: string, isBrief = false): string {
  const { model, texts } = context;
  const { about } = model;
  const kicker = [
    about?.tool,
    kind,
    about?.date,
    about?.by === undefined ? undefined : texts.title.preparedBy(about.by),
    about?.job === undefined ? undefined : texts.title.job(about.job),
    about?.revision === undefined ? undefined : texts.title.revision(about.revision),
  ].filter((part) => part !== undefined && part !== "");
  const year = model.intake.vehicle?.year;
  const name = year === undefined ? vehicleName(context) : `${vehicleName(context)}, ${year}`;
  return `<header class="title"><p class="kicker">${text(kicker.join(" · "))}</p><h1>${text(name)}</h1>${paragraph(lead, "lead")}${vehicleFacts(context, isBrief)}</header>`;
}

/** The day's work in a few sentences. */
export function summary(context: Context): string {
  const { model, texts } = context;
  const { result } = model;
  const s = texts.summary;
  const count = (severity: string): number => result.findings.filter((finding) => finding.severity === severity).length;
  const parts = [s.read(result.recordings.length, totalMinutes(context), result.edits.length)];
  if (count("stop") > 0) parts.push(s.stops(count("stop")));
  if (result.edits.length > 0) parts.push(count("stop") + count("fix") + count("watch") === 0 ? s.coherent : s.fixes(count("fix"), count("watch")));
  const leading = result.suspects.reduce<(typeof result.suspects)[number] | undefined>(
    (top, suspect) => (top === undefined || suspect.probability > top.probability ? suspect : top),
    undefined,
  );
  if (leading !== undefined && result.recordings.length > 0) {
    const [words, percent] = [texts.likelihood(leading.probability), texts.percent(leading.probability)];
    parts.push(leading.fault === "healthy" ? s.healthy(words, percent) : s.suspect(faultName(context, leading.fault), words, percent));
  }
  const held = result.corrections.filter((correction) => correction.heldBecause !== undefined).length;
  parts.push(s.corrections(result.corrections.length - held, held));
  return parts.filter((part) => part !== "").join(" ");
}

/** A fault in words; an id that the texts do not know stands for itself. */
export function faultName({ texts }: Context, fault: string): string {
  return (texts.faults as Readonly<Record<string, { name: string } | undefined>>)[fault]?.name ?? fault;
}

/** A fitted size with its interval: "18 ± 2 mm²". */
export function sizeText({ measures }: Context, size: { readonly value: number; readonly low: number; readonly high: number; readonly unit: string }): string {
  const measure = measures(size.unit);
  const half = Math.abs(measure.of(size.high) - measure.of(size.low)) / 2;
  return unitAfter(formatWithInterval(measure.of(size.value), half), measure.symbol);
}

/** Facts of the intake; brief: those that an owner knows the vehicle by. */
function vehicleFacts(context: Context, isBrief: boolean): string {
  const { model, texts } = context;
  const { vehicle, engine, fuel, injectors, sensors, ambient, complaint, changes, troubleCodes } = model.intake;
  const t = texts.facts;
  const number = (value: number, decimals = 2): string => formatNumber(value, decimalsOf([value], decimals));
  const join = (...parts: (string | undefined)[]): string => parts.filter((part) => part !== undefined && part !== "").join(", ");
  const pairs: [string, string | undefined][] = [
    [t.complaint, complaint],
    [t.changes, changes?.join("; ")],
    [
      t.engine,
      join(
        t.engineText(formatNumber(engine.displacementL, 1), engine.cylinders, engine.boosted),
        engine.compressionRatio === undefined ? undefined : t.compression(number(engine.compressionRatio, 1)),
      ),
    ],
    [
      t.cam,
      join(
        engine.camDurationDeg === undefined ? undefined : t.camDuration(number(engine.camDurationDeg)),
        engine.camLiftMm === undefined ? undefined : t.camLift(shown(context, engine.camLiftMm, "mm")),
        engine.camLobeSeparationDeg === undefined ? undefined : t.camSeparation(number(engine.camLobeSeparationDeg)),
        engine.camChanged ? t.camChanged : undefined,
      ),
    ],
    [
      t.fuel,
      join(
        fuel?.ethanolPercentVolume === undefined ? undefined : t.ethanol(number(fuel.ethanolPercentVolume)),
        fuel?.railPressureKpa === undefined ? undefined : t.rail(shown(context, fuel.railPressureKpa, "kPa"), fuel.railReference),
      ),
    ],
    [t.injectors, injectors?.label],
    [t.transmission, join(vehicle?.transmission, vehicle?.axleRatio === undefined ? undefined : t.axle(number(vehicle.axleRatio)))],
    [t.mass, vehicle?.massKg === undefined ? undefined : shown(context, vehicle.massKg, "kg", 0)],
    [
      t.sensors,
      join(
        sensors?.widebandFitted === undefined ? undefined : t.wideband(sensors.widebandFitted),
        sensors?.airMeterFitted === undefined ? undefined : t.meter(sensors.airMeterFitted),
      ),
    ],
    [
      t.ambient,
      join(
        ambient?.pressureKpa === undefined ? undefined : shown(context, ambient.pressureKpa, "kPa", 1),
        ambient?.temperatureC === undefined ? undefined : shown(context, ambient.temperatureC, "°C", 0),
        ambient?.relativeHumidityPercent === undefined ? undefined : t.relativeHumidity(number(ambient.relativeHumidityPercent)),
      ),
    ],
    [t.codes, troubleCodes?.join(", ")],
  ];
  const brief = [t.changes, t.engine, t.transmission];
  return facts(isBrief ? pairs.filter(([name]) => brief.includes(name)) : pairs);
}
