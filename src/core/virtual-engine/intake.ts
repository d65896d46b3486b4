import type { Random } from "../../base/index.ts";
import type { Intake } from "../result/index.ts";
import type { FaultId, PlantedFault } from "./faults.ts";
import { railPressureKpa } from "./injector.ts";
import type { VirtualVehicle } from "./vehicle.ts";

/** What an owner says of each fault; `""` stands for nothing noticed. */
const COMPLAINTS: Readonly<Record<FaultId | "healthy", readonly string[]>> = {
  healthy: [
    "Set up after the build, please check.",
    "No complaint, wants a second opinion.",
    "Wants it to drive like a factory car.",
    "Bought it like this, wants to know what is in it.",
  ],
  "air.unmetered-leak": ["Idle is uneven, warning light came on.", "Rough when idling, fine on the road.", "Whistles under the bonnet."],
  "air.throttle-overflow": ["Idle hangs high.", "Idles too fast, surges when warm.", "Will not come down when the pedal is let go."],
  "air.throttle-restricted": ["Stalls when coming to a stop.", "Idle dips when loads switch on."],
  "air.meter-low": ["Hesitates when pulling away.", "Feels flat, weak at high speed."],
  "air.meter-high": ["Uses much fuel.", "Sooty tailpipe."],
  "sensor.map-bias": ["Runs unevenly since the engine was out.", "Fuel use went up."],
  "fuel.delivery-low": ["No power at the top.", "Holds back at full throttle."],
  "fuel.injector-flow-mismatch": ["Other injectors fitted, not set up.", "Smells of fuel since injectors were changed."],
  "fuel.injector-dead-time-mismatch": ["Idle mixture is off since the injectors were changed.", "Idles badly with the new injectors."],
  "exhaust.leak-ahead-of-sensor": ["Ticks when cold.", "Exhaust was worked on lately."],
  "sensor.oxygen-slow": ["Surges slightly at steady speed.", "Failed its emissions check."],
  "cooling.runs-cold": ["Heater is lukewarm.", "Gauge never comes up."],
  "start.cam-signal-dropout": ["Cranks long before it starts.", "Sometimes kicks back when starting."],
  "ignition.knock": ["Pings uphill.", "Rattles under load on hot days."],
  "electrical.low-voltage": ["Starts slowly, lights dim.", "Battery was changed twice."],
  "driveline.lockup-slip": ["Shudders at steady speed.", "Engine speed moves at constant road speed."],
};

/** The intake sheet as an honest owner and workshop would fill it in: rounded, and silent about what they cannot know. */
export function intakeOf(vehicle: VirtualVehicle, faults: readonly PlantedFault[], random: Random): Intake {
  const { engine, body, transmission, injection, fuel, ambient, outfit } = vehicle;
  const told = faults[0]?.id ?? "healthy";
  const injectors = faults.some((f) => f.id.startsWith("fuel.injector"));
  const changes = [
    ...vehicle.changes.filter((c) => c !== "camshaft changed"),
    ...(engine.cam.changed ? [`camshaft ${engine.cam.durationDeg} deg at 1.27 mm lift, ${engine.cam.lobeSeparationDeg} deg lobe separation`] : []),
    ...(injectors ? ["injectors replaced"] : []),
  ];
  return {
    vehicle: {
      label: vehicle.label,
      year: vehicle.year,
      massKg: body.massKg,
      axleRatio: body.axleRatio,
      tireRevsPerKm: body.tireRevsPerKm,
      gearRatios: transmission.ratios,
      transmission: `${transmission.ratios.length}-speed ${transmission.kind}`,
      ...(transmission.kind === "automatic" ? { converterStallRpm: transmission.stallRpm } : {}),
    },
    engine: {
      displacementL: engine.displacementL,
      cylinders: engine.cylinders,
      compressionRatio: engine.compressionRatio,
      boosted: engine.turbo !== undefined,
      camDurationDeg: engine.cam.durationDeg,
      camLiftMm: engine.cam.liftMm,
      camLobeSeparationDeg: engine.cam.lobeSeparationDeg,
      camChanged: engine.cam.changed,
      intake: random.pick(["original air box, panel filter", "original air box", "open filter on the original tube", "larger tube, open filter"]),
      exhaust: random.pick(["original manifolds", "tubular headers", "original to the catalysts, larger behind"]),
    },
    fuel: { ethanolPercentVolume: fuel.ethanolPercentVolume, railPressureKpa: injection.railKpa, railReference: injection.railReference },
    injectors: { label: injectors ? random.pick(["unknown", "unmarked, four-hole", "sold as a matched set"]) : "original" },
    complaint: random.chance(0.8) ? random.pick(COMPLAINTS[told]) : random.pick(COMPLAINTS.healthy),
    changes,
    ambient: {
      pressureKpa: Math.round(ambient.pressureKpa * 10) / 10,
      temperatureC: Math.round(ambient.temperatureC),
      relativeHumidityPercent: ambient.relativeHumidityPercent,
    },
    sensors: {
      widebandFitted: outfit.wideband,
      airMeterFitted: outfit.meter,
      ...(outfit.widebandBank === undefined ? {} : { widebandBank: outfit.widebandBank }),
    },
    observations: observationsOf(vehicle, random),
  };
}

/** Tests that the workshop did before: a smoke test finds a leak that is there nine times in ten, a gauge reads what the rail holds at load. */
function observationsOf(vehicle: VirtualVehicle, random: Random): Readonly<Record<string, unknown>> {
  const smoked = random.chance(0.15);
  const found = vehicle.defects.leakMm2 > 0 && random.chance(0.9);
  const gauged = random.chance(0.1);
  const loadKpa = railPressureKpa(vehicle.injection, vehicle.defects, 0.85) + 4 * random.normal();
  return { smokeTest: smoked ? (found ? "leak" : "clean") : "not done", fuelPressureKpaAtLoad: gauged ? Math.round(loadKpa) : null };
}
