/** Ratios between engine and road. */
export interface Driveline {
  readonly gearRatio: number;
  readonly axleRatio: number;
  readonly tireRevsPerKm: number;
}

/** Engine revolutions per kilometre of road, no slip. */
export function engineRevsPerKm(driveline: Driveline): number {
  return driveline.gearRatio * driveline.axleRatio * driveline.tireRevsPerKm;
}

/** Road speed [km/h] of an engine speed, no slip: 60 N / (i_gear i_axle revs per km). @source definition; PH-15a */
export function speedKmh(rpm: number, driveline: Driveline): number {
  return (60 * rpm) / engineRevsPerKm(driveline);
}

/** Engine speed of a road speed, no slip; behind a converter this is the turbine's. @source definition; PH-15b, PH-15g */
export function engineRpm(kmh: number, driveline: Driveline): number {
  return (kmh * engineRevsPerKm(driveline)) / 60;
}

/** Rolling radius [m] of a tyre of so many revolutions per kilometre. @source definition; PH-15c */
export function rollingRadiusM(tireRevsPerKm: number): number {
  return 1000 / (2 * Math.PI * tireRevsPerKm);
}

/** Kilometres in a mile, exact. @source international-mile */
export const KM_PER_MILE = 1.609344;

/** Tyre revolutions per mile. @source international-mile; PH-15d */
export function tireRevsPerMile(tireRevsPerKm: number): number {
  return tireRevsPerKm * KM_PER_MILE;
}

/** Factor on shift speeds in km/h when the axle changes and the engine speed of the shift stays. @source definition; PH-15e */
export function shiftSpeedRatio(oldAxleRatio: number, newAxleRatio: number): number {
  return oldAxleRatio / newAxleRatio;
}

/** Converter slip [fraction of engine speed]. @source definition; PH-15f */
export function slipFraction(rpm: number, turbineRpm: number): number {
  return (rpm - turbineRpm) / rpm;
}
