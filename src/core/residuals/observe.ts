import { mean, median } from "../../base/index.ts";
import { airFromPulseGps, controllerAir, switchSpeedRpm } from "../controller/index.ts";
import { findMoments } from "../moments/index.ts";
import { type Clock, onClock, type Recording, uniformClock } from "../recordings/index.ts";
import type { Intake } from "../result/index.ts";
import { type Calibration, calibrationOf, lookUpCurve } from "../tables/index.ts";
import type { SignalId } from "../units/index.ts";
import { alignmentSignals, estimateAlignment } from "./alignment.ts";
import { fuelResidualLn, lambdaAtMixture } from "./fuel-residual.ts";
import { idleResidualGps } from "./idle-residual.ts";
import { effectiveShareOf } from "./independence.ts";
import type { ExhaustAlignment, Observations } from "./observations.ts";
import { ratePerS } from "./smoothing.ts";
import { fuelCutOf, steadinessOf } from "./steadiness.ts";
import { shareOfSecond, type TrimLaw, trimFactorLn } from "./trim-law.ts";

/**
 * Handbook delay and lag where a recording cannot tell: 1.75 revolutions near 1500 rpm, about a gram of exhaust between
 * valve and sensor, a wide-range sensor of 80 ms. @source formula-sheet; PH-09, PH-10 (revolutions: common practice)
 */
export const HANDBOOK_ALIGNMENT: ExhaustAlignment = {
  fixedS: 0.07,
  perFlowG: 1.0,
  lagS: 0.08,
  fixedSdS: 0.04,
  perFlowSdG: 0.5,
  lagSdS: 0.04,
  source: "handbook",
};

const GAS_CONSTANT_KJ_KG_K = 0.28705;
const STOPPED_RPM = 50;
/** Manifold and runners hold about as much as the engine displaces: common practice, no published source. */
const MANIFOLD_VOLUMES = 1.1;

/**
 * One recording read against the controller's own tables: channels on one clock, what the controller computed beside what was measured,
 * and the residuals between them. Signals or tables that are missing leave NaN and a line in `couldNot`.
 */
export function observe(
  recording: Recording,
  calibration: Calibration | undefined,
  intake: Intake,
  options: { readonly alignment?: ExhaustAlignment } = {},
): Observations {
  const clock = uniformClock(recording);
  const n = clock.timeS.length;
  const couldNot: string[] = [];
  const get = (signal: SignalId): Float64Array => onClock(recording, signal, clock);
  const tables = calibration ?? calibrationOf([]);
  const engine = intake.engine;

  const rpm = get("rpm");
  const mapKpa = get("map");
  const iatC = filled(get("iat"), intake.ambient?.temperatureC);
  const ectC = get("ect");
  const throttlePercent = get("tp1");
  const injMs = get("injMs");
  const batteryV = get("battery");
  const baroKpa = barometer(recording, clock, rpm, mapKpa, intake, couldNot);
  const mafHz = get("mafHz");
  const meterGps = meterAirflow(get("maf"), mafHz, tables);
  const lambdaRaw = get("lambda");
  const lambdaTargetKnown = get("lambdaTarget");
  const closedLoop = closedLoopOf(get("closedLoop"), { lambdaTarget: lambdaTargetKnown, lambdaRaw, ectC, rpm, mapKpa, baroKpa, throttlePercent }, couldNot);
  const lambdaTarget = filled(lambdaTargetKnown, 1, closedLoop);

  // A meter that is fitted gives the controller its air whether or not its signal was recorded.
  const meterFitted = intake.sensors?.airMeterFitted ?? hasSamples(meterGps);
  const switchRpm = switchSpeedRpm(calibration, meterFitted);
  if (meterFitted && !hasSamples(meterGps))
    couldNot.push(`${recording.file}: the airflow meter's signal was not recorded; where the controller used it, the air is known from pulse width at best`);
  if (Number.isNaN(switchRpm))
    couldNot.push(`${recording.file}: which air the controller used is not known (no air.model-switch-speed table); the meter's was assumed`);
  const usesMeter = rpm.map((speed) => (Number.isNaN(speed) ? Number.NaN : Number.isNaN(switchRpm) || switchRpm === 0 || speed > switchRpm ? 1 : 0));

  const chargeK = new Float64Array(n).fill(Number.NaN);
  const tableVeFraction = new Float64Array(n).fill(Number.NaN);
  const speedDensityGps = new Float64Array(n).fill(Number.NaN);
  const untrimmedPulseGps = new Float64Array(n).fill(Number.NaN);
  for (let i = 0; i < n; i++) {
    const air = controllerAir(tables, engine, {
      rpm: rpm[i]!,
      mapKpa: mapKpa[i]!,
      iatC: iatC[i]!,
      ectC: ectC[i]!,
      meterGps: meterGps[i]!,
      usesMeter: usesMeter[i]!,
    });
    chargeK[i] = air.chargeK;
    tableVeFraction[i] = air.veFraction;
    speedDensityGps[i] = air.speedDensityGps;
    untrimmedPulseGps[i] = airFromPulseGps(tables, engine, {
      injMs: injMs[i]!,
      batteryV: Number.isNaN(batteryV[i]!) ? 14 : batteryV[i]!,
      vacuumKpa: baroKpa[i]! - mapKpa[i]!,
      rpm: rpm[i]!,
      lambdaTarget: lambdaTarget[i]!,
      trimLn: 0,
    });
  }
  const fuelCut = fuelCutOf({ rpm, injMs, lambdaRaw, throttlePercent });
  const steadiness = steadinessOf({ dtS: clock.dtS, rpm, mapKpa: hasSamples(mapKpa) ? mapKpa : meterGps, throttlePercent, fuelCut });
  const modelledGps = usesMeter.map((meter, i) => (meter === 1 ? meterGps[i]! : speedDensityGps[i]!));
  const pulseLn = untrimmedPulseGps.map((pulse, i) => Math.log(pulse / modelledGps[i]!));
  const trims = bankTrims(get, pulseLn, steadiness);
  const trimLn = trimOfBank(trims, intake);
  const pulseGps = untrimmedPulseGps.map((pulse, i) => pulse * Math.exp(-trims.ofPulse[i]!));
  const pulseFits = agrees(pulseGps, modelledGps, steadiness);
  const controllerGps = modelledGps.map((modelled, i) => {
    const fromPulse = Number.isNaN(modelled) || (pulseFits && usesMeter[i] === 0 && steadiness[i]! > 0);
    return fromPulse && pulseGps[i]! > 0 ? pulseGps[i]! : modelled;
  });

  const flowGps = meterGps.map((meter, i) => (meter > 0 ? meter : speedDensityGps[i]!));
  const widebandUsable = intake.sensors?.widebandFitted !== false && hasSamples(lambdaRaw);
  if (!widebandUsable) couldNot.push(`${recording.file}: mixture in open loop is not known (no wide-range lambda)`);
  const alignment =
    options.alignment ??
    (widebandUsable
      ? estimateAlignment(alignmentSignals({ dtS: clock.dtS, lambdaRaw, lambdaTarget, trimLn: trimLn.used, flowGps, rpm, steadiness }), HANDBOOK_ALIGNMENT)
      : HANDBOOK_ALIGNMENT);
  const lambda = lambdaAtMixture(lambdaRaw, flowGps, alignment, clock.dtS);
  const trimsKnown = hasSamples(trims.bank1) || hasSamples(trims.bank2);
  if (!trimsKnown) couldNot.push(`${recording.file}: fuel trims were not recorded; in closed loop they hide what the mixture would be`);
  const fuelResidual = fuelResidualLn({
    lambda,
    lambdaTarget,
    trimLn: trimsKnown ? trimLn.used : closedLoop.map((closed) => (closed === 0 ? 0 : Number.NaN)),
    closedLoop,
    lagS: alignment.lagS,
    dtS: clock.dtS,
    widebandUsable,
  });
  const modelResidual = modelResidualLn({
    meterGps,
    mapKpa,
    chargeK,
    usesMeter,
    speedDensityGps,
    controllerGps,
    dtS: clock.dtS,
    displacementL: engine.displacementL,
  });

  const idleAirTargetGps = get("idleAirTarget");
  const vssKmh = get("vss");
  const pedalPercent = get("pedal");
  const idleTargetRpm = get("idleTarget");
  return {
    recording,
    n,
    dtS: clock.dtS,
    timeS: clock.timeS,
    moments: findMoments({
      timeS: clock.timeS,
      dtS: clock.dtS,
      rpm,
      mapKpa,
      baroKpa,
      throttlePercent,
      pedalPercent,
      vssKmh,
      ectC,
      injMs,
      lambda: lambdaRaw,
      gear: get("gear"),
      idleTargetRpm,
    }),
    rpm,
    mapKpa,
    baroKpa,
    iatC,
    ectC,
    throttlePercent,
    pedalPercent,
    batteryV,
    injMs,
    vssKmh,
    sparkDeg: get("spark"),
    knockRetardDeg: get("knockRetard"),
    mafHz,
    meterGps,
    idleAirTargetGps,
    idleAirAdaptGps: get("idleAirAdapt"),
    idleTargetRpm,
    closedLoop,
    lambda,
    lambdaTarget,
    trimLn: trimLn.used,
    trim1Ln: trims.bank1,
    trim2Ln: trims.bank2,
    chargeK,
    tableVeFraction,
    speedDensityGps,
    controllerGps,
    usesMeter,
    fuelResidual,
    modelResidual,
    idleResidualGps: idleResidualGps({ meterGps, speedDensityGps, idleAirTargetGps, rpm, vssKmh, pedalPercent, idleTargetRpm, steadiness, dtS: clock.dtS }),
    steadiness,
    effectiveShare: effectiveShareOf(fuelResidual, steadiness, clock.dtS, { rpm, mapKpa }),
    alignment,
    couldNot,
  };
}

function hasSamples(values: Float64Array): boolean {
  return values.some((v) => !Number.isNaN(v));
}

/** Gaps filled with a constant, where `where` (when given) is 1; unchanged when there is no constant. */
function filled(values: Float64Array, constant: number | undefined, where?: Float64Array): Float64Array {
  if (constant === undefined) return values;
  return values.map((v, i) => (Number.isNaN(v) && (where === undefined || where[i] === 1) ? constant : v));
}

/** Ambient pressure: its own channel, else manifold pressure with the engine at rest, else the intake sheet, else sea level. */
function barometer(recording: Recording, clock: Clock, rpm: Float64Array, mapKpa: Float64Array, intake: Intake, couldNot: string[]): Float64Array {
  const logged = onClock(recording, "baro", clock);
  const constant = (value: number): Float64Array => new Float64Array(clock.timeS.length).fill(value);
  if (hasSamples(logged)) return filled(logged, median(logged));
  const atRest = median(mapKpa.filter((_, i) => rpm[i]! < STOPPED_RPM));
  if (intake.ambient?.pressureKpa !== undefined) return constant(intake.ambient.pressureKpa);
  if (!Number.isNaN(atRest)) return constant(atRest);
  couldNot.push(`${recording.file}: ambient pressure is not known; 101.3 kPa was assumed`);
  return constant(101.325);
}

/** Metered airflow [g/s]: as logged; where not logged, from the meter's frequency through the controller's curve. */
function meterAirflow(logged: Float64Array, mafHz: Float64Array, tables: Calibration): Float64Array {
  if (hasSamples(logged)) return logged;
  const meterCurve = tables.byRole["air.meter-curve"];
  return meterCurve === undefined ? logged : mafHz.map((hz) => lookUpCurve(meterCurve, hz));
}

interface BankTrims {
  readonly bank1: Float64Array;
  readonly bank2: Float64Array;
  /** Of the bank whose pulse width is logged; 0 without trims. */
  readonly ofPulse: Float64Array;
}

/** Trims by the law, and for the pulse by the bank, that the commanded pulse width is seen to follow; else the product, and bank 1. */
function bankTrims(get: (signal: SignalId) => Float64Array, pulseLn: Float64Array, steadiness: Float64Array): BankTrims {
  const banks = (law: TrimLaw): [Float64Array, Float64Array] => [trimFactorLn(get("stft1"), get("ltft1"), law), trimFactorLn(get("stft2"), get("ltft2"), law)];
  const product = banks("product");
  const sum = banks("sum");
  const logged = hasSamples(product[0]) ? 0 : 1;
  const law = shareOfSecond(pulseLn, product[logged]!, sum[logged]!, steadiness) > 0.5 ? sum : product;
  const ofPulse = !hasSamples(law[0]) || (hasSamples(law[1]) && shareOfSecond(pulseLn, law[0], law[1], steadiness) > 0.5) ? law[1] : law[0];
  return { bank1: law[0], bank2: law[1], ofPulse: hasSamples(ofPulse) ? ofPulse : ofPulse.map(() => 0) };
}

/** Trims of the bank that the wide-range sensor sits on; of both where that is not known. */
function trimOfBank(trims: BankTrims, intake: Intake): { used: Float64Array } {
  const bank = intake.sensors?.widebandBank;
  const has1 = hasSamples(trims.bank1);
  const has2 = hasSamples(trims.bank2);
  if (!has1 && !has2) return { used: trims.bank1.map(() => 0) };
  if (bank === 2 && has2) return { used: trims.bank2 };
  if (bank === 1 && has1) return { used: trims.bank1 };
  if (!has2) return { used: trims.bank1 };
  if (!has1) return { used: trims.bank2 };
  return { used: trims.bank1.map((first, i) => mean([first, trims.bank2[i]!])) };
}

/** Throttle [%] and manifold over ambient pressure from which a command nobody recorded may be an enriched one. Common practice, no published source. */
const LIGHT_THROTTLE = 45;
const LIGHT_PRESSURE = 0.85;
/** A loop that works holds its mixture this close to stoichiometric [ln λ]. */
const HELD_LN = 0.08;

/**
 * Closed loop as logged; else believed where the command is stoichiometric and the engine is warm. Where the command is not known either, only
 * light running counts, and of that only what the wide-range sensor, if there is one, saw held near lambda 1.
 */
function closedLoopOf(
  logged: Float64Array,
  seen: Readonly<Record<"lambdaTarget" | "lambdaRaw" | "ectC" | "rpm" | "mapKpa" | "baroKpa" | "throttlePercent", Float64Array>>,
  couldNot: string[],
): Float64Array {
  if (hasSamples(logged)) return logged;
  if (!couldNot.some((line) => line.includes("closed loop")))
    couldNot.push(
      hasSamples(seen.lambdaTarget)
        ? "closed loop is not logged; taken as active where the command is lambda 1 and the coolant is over 40 °C"
        : "neither closed loop nor the lambda command is logged; closed loop was taken as active in light running with the coolant over 40 °C",
    );
  return seen.rpm.map((speed, i) => {
    const target = seen.lambdaTarget[i]!;
    const warm = Number.isNaN(seen.ectC[i]!) || seen.ectC[i]! > 40;
    const light = !(seen.throttlePercent[i]! > LIGHT_THROTTLE) && !(seen.mapKpa[i]! > LIGHT_PRESSURE * seen.baroKpa[i]!);
    const held = !(Math.abs(Math.log(seen.lambdaRaw[i]!)) > HELD_LN);
    return speed > 400 && warm && (Number.isNaN(target) ? light && held : Math.abs(target - 1) < 0.012) ? 1 : 0;
  });
}

/** Whether the air worked back from the pulse width fits the air that the tables give, where the engine is steady. */
function agrees(pulseGps: Float64Array, modelledGps: Float64Array, steadiness: Float64Array): boolean {
  const differences = pulseGps.map((pulse, i) => (steadiness[i]! > 0.5 ? Math.log(pulse / modelledGps[i]!) : Number.NaN)).filter((d) => Number.isFinite(d));
  if (differences.length < 100) return false;
  const centre = median(differences);
  const spread = median(differences.map((d) => Math.abs(d - centre)));
  return Math.abs(centre) < 0.03 && spread < 0.05;
}

/** ln(meter / speed-density air), shape (n); what fills the manifold is taken off the meter's air. */
function modelResidualLn(signals: {
  meterGps: Float64Array;
  mapKpa: Float64Array;
  chargeK: Float64Array;
  usesMeter: Float64Array;
  speedDensityGps: Float64Array;
  controllerGps: Float64Array;
  dtS: number;
  displacementL: number;
}): Float64Array {
  const { meterGps, mapKpa, chargeK, usesMeter, speedDensityGps, controllerGps, dtS, displacementL } = signals;
  const mapRate = ratePerS(mapKpa, dtS, 0.4);
  return meterGps.map((meter, i) => {
    const fillingGps = (MANIFOLD_VOLUMES * displacementL * mapRate[i]!) / (GAS_CONSTANT_KJ_KG_K * chargeK[i]!);
    const intoCylindersGps = meter - (Number.isNaN(fillingGps) ? 0 : fillingGps);
    const reckoned = usesMeter[i] === 0 ? controllerGps[i]! : speedDensityGps[i]!;
    return intoCylindersGps > 0 && reckoned > 0 ? Math.log(intoCylindersGps / reckoned) : Number.NaN;
  });
}
