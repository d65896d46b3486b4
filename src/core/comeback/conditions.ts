import { median } from "../../base/index.ts";
import type { DiagnosisInput } from "../faults/index.ts";
import { blendAfr } from "../physics/index.ts";

/** What the day and the tank bring: they are no part of the vehicle. Left out where nobody recorded it. */
export interface Conditions {
  readonly ambientKpa?: number;
  /** Middle of the intake air's temperature while driving [°C]. */
  readonly intakeAirC?: number;
  readonly ethanolPercentVolume?: number;
}

export function conditionsOf({ observations, intake }: DiagnosisInput): Conditions {
  const known = (value: number | undefined): value is number => value !== undefined && Number.isFinite(value);
  const middle = (of: (o: DiagnosisInput["observations"][number]) => Float64Array): number => median(observations.map((o) => median(of(o))));
  const [recordedKpa, intakeAirC] = [middle((o) => o.baroKpa), middle((o) => o.iatC)];
  const ambientKpa = known(recordedKpa) ? recordedKpa : intake.ambient?.pressureKpa;
  const ethanolPercentVolume = intake.fuel?.ethanolPercentVolume;
  return {
    ...(known(ambientKpa) ? { ambientKpa } : {}),
    ...(known(intakeAirC) ? { intakeAirC } : {}),
    ...(known(ethanolPercentVolume) ? { ethanolPercentVolume } : {}),
  };
}

/** Two days side by side. */
export interface TwoDays {
  readonly before: Conditions;
  readonly after: Conditions;
}

/** By how much trims move because the tank holds another blend [ln]; 0 where a blend is not known. */
export function fuelTrimLn({ before, after }: TwoDays): number {
  const [then, now] = [before.ethanolPercentVolume, after.ethanolPercentVolume];
  return then === undefined || now === undefined ? 0 : Math.log(blendAfr(then / 100) / blendAfr(now / 100));
}

/** How much warmer the intake air is [K], and how much denser the ambient air [kPa]; 0 where not known. */
export function weatherSince({ before, after }: TwoDays): { readonly warmerK: number; readonly higherKpa: number } {
  const difference = (then: number | undefined, now: number | undefined): number => (then === undefined || now === undefined ? 0 : now - then);
  return { warmerK: difference(before.intakeAirC, after.intakeAirC), higherKpa: difference(before.ambientKpa, after.ambientKpa) };
}

/** Differences smaller than these go without saying. */
const SAID_FROM = { kelvin: 8, kpa: 3, percentVolume: 3 } as const;

/** What was otherwise on the day, and what was done with it, in words. */
export function daysApart(days: TwoDays): readonly string[] {
  const { before, after } = days;
  const { warmerK, higherKpa } = weatherSince(days);
  const said: string[] = [];
  if (Math.abs(warmerK) >= SAID_FROM.kelvin || Math.abs(higherKpa) >= SAID_FROM.kpa)
    said.push(
      `weather: intake air ${figure(before.intakeAirC, "°C")} then, ${figure(after.intakeAirC, "°C")} now; ambient pressure ${figure(before.ambientKpa, "kPa")} then, ${figure(after.ambientKpa, "kPa")} now. Residuals are ratios to what the controller reckons with it; knock is given the room that heat and pressure take`,
    );
  const [then, now] = [before.ethanolPercentVolume, after.ethanolPercentVolume];
  if (then === undefined || now === undefined)
    said.push("fuel: the blend is not known of both visits, so trims are given the room of an ordinary change of the tank");
  else if (Math.abs(now - then) >= SAID_FROM.percentVolume)
    said.push(
      `fuel: ${then} % ethanol then, ${now} % now; trims are held against ${signed(100 * Math.expm1(fuelTrimLn(days)))} %, which the other blend asks for`,
    );
  return said;
}

function figure(value: number | undefined, unit: string): string {
  return value === undefined ? "not known" : `${Math.round(value)} ${unit}`;
}

function signed(percent: number): string {
  return `${percent < 0 ? "−" : "+"}${Math.abs(percent).toFixed(1)}`;
}
