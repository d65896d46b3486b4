import type { Random } from "../../base/index.ts";
import { type BreathingSpec, drawBreathing, drawRipples, withCamshaft } from "./breathing.ts";
import { drawMeter, drawThrottle, drawTuning } from "./draw-parts.ts";
import { FAMILIES, type Family } from "./families.ts";
import { type AirStrategy, type Ambient, SOUND, type TransmissionPlant, type VirtualVehicle } from "./vehicle.ts";

/** What a drawn vehicle must be; anything left out is drawn. */
export interface DrawOptions {
  readonly family?: string;
  readonly strategy?: AirStrategy;
  readonly camChanged?: boolean;
  readonly highAltitude?: boolean;
  readonly boosted?: boolean;
  readonly wideband?: boolean;
  readonly transmission?: "automatic" | "manual";
  /** Relative spread of this sample's VE against the design, a smooth surface; 0.01 when left out. */
  readonly sampleSpread?: number;
}

/** A sound vehicle drawn from the families: engine, camshaft, parts, sensors, weather, controller. */
export function drawVehicle(random: Random, options: DrawOptions = {}): VirtualVehicle {
  const family = pickFamily(random, options);
  const range = (r: readonly [number, number]): number => random.between(r[0], r[1]);
  const displacementL = Math.round(range(family.displacementL) * 10) / 10;
  const maximumRpm = Math.round(range(family.maximumRpm) / 100) * 100;
  const compressionRatio = Math.round(range(family.compression) * 10) / 10;
  const factoryBreathing = drawBreathing(random, {
    maximumRpm,
    compressionRatio,
    peakFraction: range(family.peakFraction),
    peakRpm: maximumRpm * range(family.peakShare),
    roughness: random.between(0.004, 0.012),
  });
  const camChanged = options.camChanged ?? (family.camWild > 0 && random.chance(0.25));
  const wild = camChanged ? random.between(0.3, 1) * Math.max(0.4, family.camWild) : 0;
  const spread = options.sampleSpread ?? 0.01;
  const breathing = sampleOf(random, camChanged ? withCamshaft(random, factoryBreathing, wild) : factoryBreathing, spread);
  const ambient = drawAmbient(random, options.highAltitude ?? random.chance(0.12));
  const automatic = options.transmission === undefined ? random.chance(family.automatic) : options.transmission === "automatic";
  const torqueNm = displacementL * (family.turbo ? 135 : 88);
  const strategy = options.strategy ?? drawStrategy(random);
  const ethanol = random.chance(0.65) ? 10 : random.chance(0.15) ? random.between(15, 30) : 0;
  const trueEthanol = Math.max(0, ethanol + (ethanol > 0 ? random.between(-0.8, 0.4) : 0));
  const airAtPowerGps = (displacementL / 2) * (maximumRpm / 60) * 1.15 * 0.85 * (family.turbo ? 1.75 : 1);
  const railKpa = random.pick([300, 300, 350, 380, 400, 400]);
  const ratedFlowGps = ((airAtPowerGps * 1.2) / 14.1 / family.cylinders / random.between(0.72, 0.86)) * 1;
  const tableInjection = {
    ratedFlowGps,
    ratedKpa: railKpa,
    railKpa,
    railReference: random.chance(0.5) || family.turbo ? ("manifold" as const) : ("atmosphere" as const),
    deadTimeMs: random.between(0.62, 1.15),
    deadTimePower: random.between(1.35, 1.9),
    deadTimePerKpa: random.chance(0.2) ? random.between(0.0004, 0.0012) : 0,
    bankFactors: [1, 1] as const,
  };
  const common = random.between(-0.012, 0.012);
  const injection = {
    ...tableInjection,
    deadTimeMs: tableInjection.deadTimeMs + random.normal() * 0.012,
    bankFactors: [1 + common + 0.006 * random.normal(), 1 + common + 0.006 * random.normal()] as const,
  };
  const idleRpm = Math.round((range(family.idleRpm) + 170 * wild * random.between(0.6, 1.2)) / 12.5) * 12.5;
  const tuning = drawTuning(random, { displacementL, idleRpm, wild });
  return {
    family: family.id,
    label: `${random.pick(family.bodies)}, ${displacementL.toFixed(1)} L ${family.words}`,
    year: random.whole(1998, 2012),
    strategy,
    switchRpm: strategy === "meter" ? 0 : strategy === "switch" ? random.pick([3500, 4000, 4000, 4500, 5000]) : random.pick([9000, 10000, 12000]),
    ambient,
    engine: {
      displacementL,
      cylinders: family.cylinders,
      banks: family.banks,
      compressionRatio,
      maximumRpm,
      cam: {
        durationDeg: Math.round(range(family.camDurationDeg) + 32 * wild),
        liftMm: Math.round((range(family.camLiftMm) + 2.2 * wild) * 10) / 10,
        lobeSeparationDeg: Math.round(random.between(113, 117) - 3 * wild),
        changed: camChanged,
        wild,
      },
      breathing,
      manifoldL: displacementL * random.between(0.8, 1.6) + 0.8,
      throttle: drawThrottle(random, displacementL * (family.turbo ? 1.15 : 1), idleRpm),
      heating: {
        floor: random.between(0.02, 0.06),
        rest: random.between(0.32, 0.55),
        scaleGps: random.between(5, 14) * (0.5 + displacementL / 5),
        power: random.between(0.55, 0.8),
      },
      frictionScale: random.between(0.88, 1.12),
      inertiaKgM2: 0.06 + 0.042 * displacementL * random.between(0.8, 1.2),
      indicatedEfficiency: (0.355 + 0.006 * (compressionRatio - 9.5)) * random.between(0.97, 1.03),
      best: { baseDeg: random.between(26, 33), perLogSpeedDeg: random.between(7, 12), perFillingDeg: random.between(24, 34) },
      sparkLossPerDeg2: random.between(0.0004, 0.00052),
      knockMarginDeg: random.between(2, 5),
      idleScatter: 0.014 + 0.02 * random.uniform() + 0.05 * wild * random.between(0.6, 1.3),
      ...(family.turbo
        ? {
            turbo: {
              targetGaugeKpa: random.between(45, 95),
              flowForTargetGps: airAtPowerGps * random.between(0.2, 0.36),
              lagS: random.between(0.4, 1),
              intercooler: random.between(0.55, 0.85),
              chargePipeL: random.between(4, 9),
            },
          }
        : {}),
      film: { share: random.between(0.12, 0.35), timeS: random.between(0.15, 0.5) },
    },
    factoryBreathing,
    injection,
    tableInjection,
    fuel: {
      ethanolPercentVolume: ethanol,
      stoich: stoichOf(trueEthanol, random.between(14.6, 14.7)),
      tableStoich: Math.round(100 * stoichOf(ethanol, random.between(14.62, 14.69))) / 100,
      heatingKjPerG: 43.2 - 0.16 * trueEthanol,
    },
    exhaust: {
      revolutions: random.between(1.6, 2.4),
      pipeG: random.between(0.5, 1.3) * (0.5 + displacementL / 6),
      widebandLagS: random.between(0.05, 0.14),
      widebandMost: random.pick([1.99, 1.99, 1.99, 2.5, 1.7]),
      switchingLagS: random.between(0.04, 0.1),
      sensorWarmS: random.between(9, 25),
    },
    meter: drawMeter(random, airAtPowerGps),
    body: {
      massKg: Math.round(range(family.massKg)),
      dragAreaM2: random.between(0.6, 0.95) + (range(family.massKg) > 1900 ? 0.25 : 0),
      rollingShare: random.between(0.009, 0.014),
      axleRatio: Math.round(axleFor(random, displacementL, automatic) * 100) / 100,
      tireRevsPerKm: random.whole(410, 530),
    },
    transmission: drawTransmission(random, { automatic, torqueNm, displacementL }),
    thermal: { thermostatC: random.between(82, 91), capacityKjPerK: (30 + 10.5 * displacementL) * random.between(0.9, 1.25), soakC: random.between(14, 26) },
    tuning,
    outfit: drawOutfit(random, { banks: family.banks, strategy, wideband: options.wideband }),
    defects: SOUND,
    idleRpm,
    memoryCleared: random.chance(0.3),
    changes: camChanged ? ["camshaft changed"] : [],
  };
}

function pickFamily(random: Random, options: DrawOptions): Family {
  const fits = FAMILIES.filter(
    (f) =>
      (options.family === undefined || f.id === options.family) &&
      (options.boosted === undefined || (f.turbo ?? false) === options.boosted) &&
      (!options.camChanged || f.camWild > 0),
  );
  if (fits.length === 0) throw new RangeError(`no family fits ${JSON.stringify(options)}; known: ${FAMILIES.map((f) => f.id).join(", ")}`);
  return random.pick(fits);
}

/** This one engine against its design: a smooth relative surface. */
export function sampleOf(random: Random, spec: BreathingSpec, spread: number): BreathingSpec {
  if (spread === 0) return spec;
  const common = 1 + 0.6 * spread * random.normal();
  return { ...spec, peakFraction: spec.peakFraction * common, ripples: [...spec.ripples, ...drawRipples(random, spread * 0.7)] };
}

function drawStrategy(random: Random): AirStrategy {
  const draw = random.uniform();
  return draw < 0.5 ? "switch" : draw < 0.82 ? "meter" : "speed-density";
}

function drawAmbient(random: Random, highAltitude: boolean): Ambient {
  return {
    pressureKpa: highAltitude ? random.between(77, 88) : random.between(95.5, 103),
    temperatureC: random.between(-4, highAltitude ? 30 : 37),
    relativeHumidityPercent: random.whole(25, 85),
  };
}

/** Stoichiometric ratio of gasoline with so much ethanol by volume, from the mass shares of the two. @source stoich-table; densities 0.745 and 0.789 kg/L (from memory) */
export function stoichOf(ethanolPercentVolume: number, gasolineRatio = 14.65): number {
  const ethanol = (ethanolPercentVolume / 100) * 0.789;
  const gasoline = (1 - ethanolPercentVolume / 100) * 0.745;
  return (ethanol * 9.0 + gasoline * gasolineRatio) / (ethanol + gasoline);
}

function axleFor(random: Random, displacementL: number, automatic: boolean): number {
  return Math.max(2.6, random.between(3.9, 4.5) - 0.16 * displacementL - (automatic ? 0.15 : 0));
}

function drawTransmission(random: Random, of: { automatic: boolean; torqueNm: number; displacementL: number }): TransmissionPlant {
  const ratios = of.automatic
    ? random.pick([
        [3.06, 1.63, 1, 0.7],
        [2.84, 1.57, 1, 0.69],
        [3.52, 2.04, 1.4, 1, 0.72],
        [4.15, 2.37, 1.56, 1.16, 0.86, 0.69],
        [4.03, 2.36, 1.53, 1.15, 0.85, 0.67],
      ])
    : random.pick([
        [3.45, 1.95, 1.3, 0.97, 0.78],
        [3.6, 2.05, 1.38, 1.03, 0.84, 0.68],
        [2.97, 1.78, 1.3, 1, 0.74],
        [3.36, 2.06, 1.4, 1.08, 0.87, 0.69],
      ]);
  return {
    kind: of.automatic ? "automatic" : "manual",
    ratios,
    stallRpm: Math.round(random.between(1900, 2700) / 50) * 50,
    stallTorqueNm: of.torqueNm * random.between(0.75, 0.95),
    lowestLockupGear: Math.max(2, Math.min(ratios.length - random.whole(0, 2), 4)),
    lossShare: random.between(0.1, 0.16),
  };
}

function drawOutfit(random: Random, of: { banks: 1 | 2; strategy: AirStrategy; wideband: boolean | undefined }): VirtualVehicle["outfit"] {
  const wideband = of.wideband ?? random.chance(0.75);
  return {
    wideband,
    widebandBank: !wideband || of.banks === 1 ? undefined : random.chance(0.4) ? 2 : 1,
    meter: of.strategy !== "speed-density" || random.chance(0.25),
    manifoldPressure: of.strategy !== "meter" || random.chance(0.92),
    torque: random.chance(0.7),
    secondThrottle: random.chance(0.7),
  };
}
