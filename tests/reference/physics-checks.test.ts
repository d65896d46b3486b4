import { describe, expect, it } from "vitest";
import * as physics from "../../src/core/physics/index.ts";
import { expectClose, rowsOf } from "./rows.ts";

// Formula sheet and worked values: data/physics.md and data/physics-checks.csv. The sheet's expression is not evaluated: each row is
// computed by the tool's own function from the row's inputs. SI inputs are brought to the units that the functions name.
type Inputs = Readonly<Record<string, number>>;
const cylinder = (i: Inputs) => ({ mapKpa: i.p! / 1000, chargeK: i.T! });
const opening = (i: Inputs, ratio = 0.3) => ({ upstreamKpa: i.p0! / 1000, upstreamK: i.T0!, downstreamKpa: (i.p0! / 1000) * (i.pr ?? ratio) });
const rail = (i: Inputs) => ({ gaugeKpa: i.dp0!, reference: "atmosphere" as const });
const film = (i: Inputs) => physics.centralInjectionFilm(i.p! * 100, i.n! * 1000);
const driveline = (i: Inputs) => ({ gearRatio: i.gear!, axleRatio: i.axle!, tireRevsPerKm: i.revkm! });
const pipe = (i: Inputs) => physics.exhaustGasG({ volumeL: i.V! * 1000, pressureKpa: i.p! / 1000, gasK: i.T! });
const veOfFlow = (i: Inputs) => physics.observedVeFraction({ flowGps: i.maf!, rpm: i.N!, displacementL: i.V! * 1000 * i.n!, ...cylinder(i) });

const COMPUTE: Readonly<Record<string, (i: Inputs) => number>> = {
  "PH-01a": (i) => physics.airPerCylinderG({ veFraction: i.VE!, cylinderL: i.V! * 1000, ...cylinder(i) }),
  "PH-01b": (i) => physics.engineAirflowGps(i.m!, { cylinders: i.n!, rpm: i.N! }),
  "PH-02a": (i) => physics.airPerCylinderFromFlowG(i.maf!, { cylinders: i.n!, rpm: i.N! }),
  "PH-02b": veOfFlow,
  "PH-02e": veOfFlow,
  "PH-02c": (i) => physics.absoluteLoadPercent(physics.airPerCylinderFromFlowG(i.maf!, { cylinders: i.n!, rpm: i.N! }), i.VL!),
  "PH-02d": (i) => physics.speedDensityGps({ veFraction: i.VE!, displacementL: i.Vd! * 1000, rpm: i.N!, ...cylinder(i) }),
  "PH-03a": (i) => physics.criticalPressureRatio(i.k),
  "PH-03b": (i) => physics.chokedFlowNumber(i.k),
  "PH-03c": (i) => physics.orificeFlowGps({ areaMm2: i.A!, ...opening(i) }),
  "PH-03d": (i) => physics.orificeAreaMm2(i.m!, opening(i)),
  "PH-03e": (i) => physics.orificeFlowGps({ areaMm2: i.A!, ...opening(i) }),
  "PH-03f": (i) => physics.orificeFlowGps({ areaMm2: i.A!, ...opening(i) }),
  "PH-03g": (i) => (100 * physics.orificeFlowGps({ areaMm2: i.A!, ...opening(i) })) / i.m!,
  "PH-03h": (i) => (100 * physics.orificeFlowGps({ areaMm2: i.A!, ...opening(i) })) / i.m!,
  "PH-04a": (i) => physics.injectorFlowGps(i.q!, { acrossKpa: i.dp!, ratedKpa: i.dp0! }),
  "PH-04b": (i) => i.q! * physics.injectorFlowRatio(rail(i), i.vac!),
  "PH-04c": (i) => i.q! * physics.injectorFlowRatio(rail(i), i.vac!),
  "PH-04d": (i) => i.q! * physics.injectorFlowRatio(rail(i), i.vac!),
  "PH-04e": (i) => i.q! * physics.injectorFlowRatio(rail(i), i.vac!),
  "PH-04f": () => physics.injectorFlowGps(1, { acrossKpa: 400, ratedKpa: 300 }),
  "PH-04g": () => physics.injectorFlowGps(1, { acrossKpa: 58, ratedKpa: 43.5 }),
  "PH-04h": (i) => 100 * (physics.injectorFlowRatio(rail(i), i.vac!) - 1),
  "PH-04i": (i) => physics.gpsFromPoundsPerHour(i.lbh!),
  "PH-04j": (i) => physics.injectorVolumeFlowCm3PerMin(i.q!, i.rho!),
  "PH-05a": (i) => physics.fuelPerCylinderMg(i.m!, { afrStoich: i.afr!, lambda: i.lam! }),
  "PH-05b": (i) => physics.effectivePulseMs(i.mf!, i.q!),
  "PH-05c": (i) => physics.commandedPulseMs(i.mf!, { flowGps: i.q!, deadTimeMs: i.td! }),
  "PH-05d": (i) => 100 * physics.injectorDutyFraction(i.pw!, i.N!),
  "PH-05e": (i) => 100 * physics.injectorDutyFraction(i.pw!, i.N!),
  "PH-05f": (i) => physics.longestPulseMs(0.85, i.N!),
  "PH-05g": (i) => 100 * physics.deadTimeErrorFraction(i.err!, i.pw!),
  "PH-05h": (i) => 100 * physics.deadTimeErrorFraction(i.err!, i.pw!),
  "PH-06a": (i) => physics.injectorFlowForPowerGps(i.P!, { bsfcGPerKwh: i.b!, injectors: i.n!, dutyFraction: i.d! }),
  "PH-06b": (i) => physics.powerOfInjectorsKw(i.q!, { bsfcGPerKwh: i.b!, injectors: i.n!, dutyFraction: i.d! }),
  "PH-06c": (i) =>
    physics.powerOfInjectorsKw(physics.gpsFromPoundsPerHour(i.q!), { bsfcGPerKwh: physics.bsfcGPerKwh(i.b!), injectors: i.n!, dutyFraction: i.d! }) /
    physics.KW_PER_HP,
  "PH-06d": (i) => physics.powerOfAirKw(i.air!, { afrStoich: i.afr!, lambda: i.lam!, bsfcGPerKwh: i.b! }),
  "PH-06e": (i) => physics.bsfcGPerKwh(i.b!),
  "PH-06f": (i) => physics.brakeEfficiencyFraction(i.b!, i.H!),
  "PH-07a": (i) => physics.manifoldTimeConstantS({ manifoldL: i.Vm! * 1000, veFraction: i.VE!, displacementL: i.Vd! * 1000, rpm: i.N! }),
  "PH-07b": (i) => physics.manifoldTimeConstantS({ manifoldL: i.Vm! * 1000, veFraction: i.VE!, displacementL: i.Vd! * 1000, rpm: i.N! }),
  "PH-07c": (i) => 1000 * physics.manifoldPressureRateKpaPerS(i.dm!, { manifoldL: i.Vm! * 1000, chargeK: i.T! }),
  "PH-07d": () => 100 * physics.stepShownFraction(1, 1),
  "PH-08ax": (i) => film(i).shareFraction,
  "PH-08at": (i) => film(i).timeS,
  "PH-08bx": (i) => film(i).shareFraction,
  "PH-08bt": (i) => film(i).timeS,
  "PH-08cx": (i) => film(i).shareFraction,
  "PH-08ct": (i) => film(i).timeS,
  "PH-08d": (i) => physics.lambdaAfterStep(i.k!, { shareFraction: i.X!, timeS: 1 }),
  "PH-08e": (i) => physics.lambdaAfterStep(i.k!, { shareFraction: i.X!, timeS: i.tau! }, i.t!),
  "PH-08f": (i) => physics.compensatedFuelRatio(i.k!, { shareFraction: i.X! }),
  "PH-09a": pipe,
  "PH-09b": (i) => physics.plugFlowDelayS(pipe(i), physics.exhaustFlowGps(i.maf!, i.afr!)),
  "PH-09c": (i) => physics.plugFlowDelayS(pipe(i), physics.exhaustFlowGps(i.maf!, i.afr!)),
  "PH-09d": (i) => physics.cycleDelayS(i.rev!, i.N!),
  "PH-09e": (i) => physics.exhaustDelayS({ revolutions: 1.75, rpm: (60 * 1.75) / i.a!, gasG: i.b!, flowGps: 1 }),
  "PH-10a": (i) => 100 * physics.stepShownFraction(i.t!, i.tau!),
  "PH-10b": (i) => physics.riseTimeS(i.tau!),
  "PH-10c": (i) => physics.rippleKeptFraction(i.f!, i.tau!),
  "PH-11a": (i) => physics.lambdaOfAfr(i.afr!, i.st!),
  "PH-11b": (i) => physics.equivalenceRatio(i.lam!),
  "PH-11c": (i) => physics.afrOfLambda(i.lam!, 14.7),
  "PH-11d": (i) => physics.openLoopLambda(i.tab!, i.real!),
  "PH-11e": (i) => 100 * physics.settledTrimFraction(i.tab!, i.real!),
  "PH-12a": (i) => 100 * physics.totalTrimFraction(i.s!, i.l!),
  "PH-12b": (i) => physics.fuelResidualLn({ lambda: i.lm!, lambdaTarget: i.lt!, shortFraction: i.s!, longFraction: i.l! }),
  "PH-12c": (i) => Math.exp(physics.fuelResidualLn({ lambda: i.lm!, lambdaTarget: i.lt!, shortFraction: i.s!, longFraction: i.l! })),
  "PH-12d": (i) => 100 * (i.s! + i.l! - physics.totalTrimFraction(i.s!, i.l!)),
  "PH-13a": (i) => physics.chargeTemperature(i.Ti!, i.Tc!, i.b!),
  "PH-13b": (i) => physics.coolantShareFraction(i.UA!, i.maf!),
  "PH-13c": (i) => physics.coolantShareFraction(i.UA!, i.maf!),
  "PH-13d": (i) => 100 * physics.veRiseOfHotterChargeFraction(i.T!, i.dT!),
  "PH-14a": (i) => physics.rollingForceN(i.m!, i.c!),
  "PH-14b": (i) => physics.dragForceN(i.v!, { airDensityKgM3: i.rho!, dragCoefficient: i.cd!, frontalAreaM2: i.A! }),
  "PH-14c": (i) =>
    physics.forcePowerKw(
      physics.rollingForceN(i.m!, i.c!) + physics.dragForceN(i.v!, { airDensityKgM3: i.rho!, dragCoefficient: i.cd!, frontalAreaM2: i.A! }),
      i.v!,
    ),
  "PH-14d": (i) => physics.accelerationForceN(i.m!, i.a!, i.f!),
  "PH-14e": (i) => physics.gradeForceN(i.m!, Math.tan(Math.asin(i.sin_!))),
  "PH-15a": (i) => physics.speedKmh(i.N!, driveline(i)),
  "PH-15b": (i) => physics.engineRpm(i.v!, driveline(i)),
  "PH-15c": (i) => physics.rollingRadiusM(i.revkm!),
  "PH-15d": (i) => physics.tireRevsPerMile(i.revkm!),
  "PH-15e": () => physics.shiftSpeedRatio(3.73, 4.1),
  "PH-15f": (i) => 100 * physics.slipFraction(i.Ne!, i.Nt!),
  "PH-15g": (i) => physics.engineRpm(i.v!, driveline(i)),
  "PH-16a": (i) => physics.equivalentMassKg(i.I!, i.r!),
  "PH-16b": (i) => physics.inertiaPowerKw(i.M!, { speedMs: i.v!, accelerationMs2: i.a! }),
  "PH-16c": (i) => physics.energyPowerKw(i.M!, { fromKmh: i.v1!, toKmh: i.v2!, timeS: i.dt! }),
  "PH-16d": (i) => physics.forcePowerKw(i.F!, i.v!),
  "PH-16e": (i) => physics.torqueNm(physics.forcePowerKw(i.F!, i.v!), i.N!),
  "PH-17a": () => physics.NM_RPM_PER_KW,
  "PH-17b": () => physics.LBFT_RPM_PER_HP,
  "PH-17c": (i) => physics.powerKw(i.T!, i.N!),
  "PH-17d": (i) => physics.powerKw(i.T!, i.N!) / physics.KW_PER_HP,
  "PH-17e": (i) => physics.powerKw(i.T!, i.N!) / physics.KW_PER_METRIC_HP,
  "PH-17f": (i) => i.T! / physics.NM_PER_LBFT,
  "PH-18a": (i) => physics.bmepKpa(i.T!, i.V! * 1000),
  "PH-18b": (i) => physics.pistonSpeedMs(i.S! * 1000, i.N!),
  "PH-19a": (i) => physics.sparkLossFraction(i.d!, i.c!),
  "PH-19b": (i) => physics.sparkLossFraction(i.d!, i.c!),
  "PH-19c": (i) => physics.retardForLossDeg(i.s!, i.c!),
  "PH-19d": (i) => physics.knockFrequencyHz(i.B! * 1000, i.c!),
  "PH-20a": (i) => physics.dryShareFraction(i.w!),
  "PH-20b": (i) => 100 * physics.humidityRichFraction(i.w!),
  "PH-21a": (i) => physics.effectiveSamples(i.n!, i.r!),
  "PH-21b": (i) => physics.correlationTimeS(i.dt!, i.r!),
};

const rows = rowsOf("physics-checks.csv");

describe("worked values of the formula sheet", () => {
  it("has a computation for every row and a row for every computation", () => {
    expect(Object.keys(COMPUTE).sort()).toEqual(rows.map((row) => row.id!).sort());
    expect(rows.length).toBe(106);
  });

  for (const row of rows)
    it(`${row.quantity} (${row.id})`, () => {
      // Eight digits are printed; the sheet asks for 1e-6 relative.
      expectClose(COMPUTE[row.id!]!(JSON.parse(row.inputs!) as Inputs), Number(row.value), { relative: 1e-6 });
    });
});
