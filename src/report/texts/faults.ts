import type { FaultId } from "../../core/result/index.ts";

/** A fault as it is told: a name that ends a sentence, what it means to an owner, what is usually replaced or done. */
export interface FaultText {
  readonly name: string;
  readonly owner: string;
  readonly remedy: string;
  /** The part that is usually replaced, and of which quality; absent where nothing is replaced as a rule. */
  readonly part?: string;
  readonly quality?: string;
}

const NEW_ORIGINAL = "new, from the vehicle's maker or the maker's own supplier";

export const ENGLISH_FAULTS: Readonly<Record<FaultId, FaultText>> = {
  healthy: {
    name: "No mechanical fault",
    owner: "The recordings show nothing that points to a worn or broken part.",
    remedy: "Nothing to replace.",
  },
  "air.unmetered-leak": {
    name: "Air enters after the meter",
    owner: "Air gets into the engine past the sensor that measures it, so the engine receives too little fuel at idle and light load.",
    remedy: "Find and seal the leak: gaskets, hoses, brake booster, crankcase ventilation.",
    part: "Gasket, hose or valve that leaks",
    quality: "original quality, resistant to fuel and oil vapour",
  },
  "air.throttle-overflow": {
    name: "Throttle passes more air than its position says",
    owner: "The throttle body lets more air through than it reports; the idle cannot be set well until it is sound.",
    remedy: "Replace the throttle body with a new original or original-quality part, then teach the idle anew.",
    part: "Throttle body",
    quality: `${NEW_ORIGINAL}; a rebuilt or used one brings wear of its own`,
  },
  "air.throttle-restricted": {
    name: "Throttle passes less air than its position says",
    owner: "The throttle body is narrowed by deposits.",
    remedy: "Clean the throttle body as its maker allows, then teach the idle anew.",
  },
  "air.meter-low": {
    name: "Airflow meter reads low",
    owner: "The airflow meter reports less air than the engine takes in.",
    remedy: "Clean the meter if its maker allows, check its duct and filter, else replace it with an original-quality part.",
    part: "Airflow meter, if cleaning does not help",
    quality: `${NEW_ORIGINAL}; meters of other makes often read otherwise`,
  },
  "air.meter-high": {
    name: "Airflow meter reads high",
    owner: "The airflow meter reports more air than the engine takes in.",
    remedy: "Check duct, filter and the meter's seat, else replace it with an original-quality part.",
    part: "Airflow meter, if duct and seat are sound",
    quality: `${NEW_ORIGINAL}; meters of other makes often read otherwise`,
  },
  "sensor.map-bias": {
    name: "Manifold pressure sensor reads off",
    owner: "The manifold pressure sensor is off by a constant amount.",
    remedy: "Check its supply, ground and hose; replace it when it differs from the barometer with the engine off.",
    part: "Manifold pressure sensor",
    quality: "original quality, of the same pressure range",
  },
  "fuel.delivery-low": {
    name: "Fuel pressure falls as flow rises",
    owner: "The fuel system does not keep its pressure when the engine asks for much fuel.",
    remedy: "Measure pressure under load; filter, pump, supply voltage and regulator in that order.",
    part: "Fuel filter, then pump or regulator as measured",
    quality: "original quality, rated for the engine's power as it is",
  },
  "fuel.injector-flow-mismatch": {
    name: "Injectors flow other than the table says",
    owner: "The fitted injectors are not those that the controller expects.",
    remedy: "Identify the injectors, have them flowed, and enter measured data.",
    part: "Injectors, if they cannot be identified",
    quality: "a matched set with measured flow and dead time",
  },
  "fuel.injector-dead-time-mismatch": {
    name: "Injector dead time is not the table's",
    owner: "The fitted injectors open later or sooner than the controller expects; idle and light load suffer.",
    remedy: "Enter dead time measured for these injectors at this rail pressure.",
  },
  "exhaust.leak-ahead-of-sensor": {
    name: "Exhaust leaks ahead of the sensor",
    owner: "Fresh air is drawn into the exhaust before the oxygen sensor, which then reads lean although the engine is not.",
    remedy: "Seal the joint or crack ahead of the sensor.",
    part: "Gasket or pipe that leaks",
    quality: "original quality, for exhaust temperatures",
  },
  "sensor.oxygen-slow": {
    name: "Oxygen sensor is slow",
    owner: "An oxygen sensor answers late, as aged sensors do.",
    remedy: "Replace the sensor with an original-quality part.",
    part: "Oxygen sensor",
    quality: NEW_ORIGINAL,
  },
  "cooling.runs-cold": {
    name: "Engine runs cold",
    owner: "The engine does not reach its working temperature in time.",
    remedy: "Replace the thermostat with one of the maker's temperature.",
    part: "Thermostat",
    quality: "original quality, of the maker's opening temperature",
  },
  "start.cam-signal-dropout": {
    name: "Camshaft signal drops out while starting",
    owner: "The camshaft sensor's signal is lost while starting, so that starting takes long.",
    remedy: "Check sensor gap, connector and trigger wheel; replace the sensor if its signal is weak.",
    part: "Camshaft sensor, if gap and connector are sound",
    quality: NEW_ORIGINAL,
  },
  "ignition.knock": {
    name: "Engine knocks",
    owner: "The engine knocks under load, which destroys pistons.",
    remedy: "Less spark, better fuel, cooler intake air; find which before driving hard.",
  },
  "electrical.low-voltage": {
    name: "Supply voltage is low",
    owner: "The electrical supply is low while the engine runs.",
    remedy: "Check battery, alternator, belt, grounds and main cables.",
    part: "Battery, alternator, belt or cable as measured",
    quality: "of the maker's rating or above",
  },
  "driveline.lockup-slip": {
    name: "Converter clutch slips",
    owner: "The clutch in the torque converter slips where it should hold.",
    remedy: "Check line pressure and lock-up duty; a clutch that still slips is worn.",
    part: "Converter clutch, if pressure is sound",
    quality: "rebuilt by a transmission specialist, or new",
  },
};
