import type { CorrectionInput } from "../define.ts";
import { holdingFault, probabilityOf } from "../define.ts";
import { type AirSamples, fitAirTables, type JointFit } from "./joint-fit.ts";
import { airSamples, type FuelSidePrior, SOUND_INJECTORS } from "./samples.ts";

/** The joint fit with the samples it was made from. */
export interface AirFit {
  readonly fit: JointFit;
  readonly samples: AirSamples;
}

/** From this share of the samples on, what the mixture says fixes the meter's curve, and with it the air. */
const ANCHORED_FROM = 0.2;

/**
 * A suspected meter holds back what is reckoned from its air, unless the mixture says what that air is: then the joint fit puts the meter's error
 * into the meter's curve, and VE and idle air come out right beside it.
 */
export function heldByMeter({ samples }: AirFit, { suspects }: Pick<CorrectionInput, "suspects">): string | undefined {
  let known = 0;
  let all = 0;
  for (let i = 0; i < samples.n; i++) {
    all += samples.weight[i]!;
    if (Number.isFinite(samples.fuelLn[i]!)) known += samples.weight[i]!;
  }
  return known >= ANCHORED_FROM * all ? undefined : holdingFault(suspects, ["air.meter-low", "air.meter-high"]);
}

/** Injectors that are under suspicion may be off by a quarter in flow and a few tenths of a millisecond. Common practice, no published source. */
const SUSPECT_INJECTORS: FuelSidePrior = { flowSdLn: 0.15, deadTimeSdMs: 0.25 };
/** Air tables that are not themselves suspected: parts and factory tables scatter by a percent or two. */
const TRUSTED_AIR = { veTrendSd: 0.015, meterTrendSd: 0.02, veSdLimit: 0.012, meterSdLimit: 0.01 };

/** Joint fit of the air tables; where the injectors are suspected they carry what has their shape, and the air tables are trusted. */
export function airFit(input: CorrectionInput): AirFit | undefined {
  const flow = probabilityOf(input.suspects, "fuel.injector-flow-mismatch");
  const deadTime = probabilityOf(input.suspects, "fuel.injector-dead-time-mismatch");
  const suspected = flow + deadTime >= 0.3;
  const fuelSide = suspected ? SUSPECT_INJECTORS : SOUND_INJECTORS;
  const samples = airSamples(input.observations, input.calibration, input.intake, { fuelSide });
  if (samples.ve === undefined && samples.meter === undefined) return undefined;
  const seen = samples.weight.some((w, i) => w > 0 && (Number.isFinite(samples.fuelLn[i]!) || Number.isFinite(samples.modelLn[i]!)));
  if (!seen) return undefined;
  return { samples, fit: fitAirTables(samples, suspected ? TRUSTED_AIR : {}) };
}
