/** What the rail's regulator holds constant. */
export type RailReference = "atmosphere" | "manifold";

/**
 * Flow of an injector at another pressure [g/s]: q = q0 √(Δp/Δp0), the orifice law. Both pressures are those across the
 * injector; a negative one gives NaN.
 *
 * @source heywood-1988 (from memory), j1832 (terms); PH-04a
 */
export function injectorFlowGps(ratedGps: number, pressure: { readonly acrossKpa: number; readonly ratedKpa: number }): number {
  return ratedGps * Math.sqrt(pressure.acrossKpa / pressure.ratedKpa);
}

/**
 * Pressure across an injector [kPa]: rail above ambient plus manifold vacuum, or the rail pressure itself where the
 * regulator follows the manifold.
 *
 * @param rail  `gaugeKpa`: pressure above ambient (atmosphere) or above manifold (manifold)
 * @param vacuumKpa  manifold below ambient; negative under boost
 * @source formula-sheet; PH-04b to PH-04e
 */
export function injectorPressureKpa(rail: { readonly gaugeKpa: number; readonly reference: RailReference }, vacuumKpa: number): number {
  return rail.reference === "manifold" ? rail.gaugeKpa : rail.gaugeKpa + vacuumKpa;
}

/**
 * By how much a flow table's shape should rise at this vacuum, over its value at none [ratio]. 1 on a manifold-referenced rail.
 *
 * @source formula-sheet; PH-04h (a flat table on a constant gauge rail)
 */
export function injectorFlowRatio(rail: { readonly gaugeKpa: number; readonly reference: RailReference }, vacuumKpa: number): number {
  return injectorFlowGps(1, { acrossKpa: injectorPressureKpa(rail, vacuumKpa), ratedKpa: rail.gaugeKpa });
}

/** Injector flow by mass [g/s] from a flow in pounds per hour. @source international-pound; PH-04i */
export function gpsFromPoundsPerHour(poundsPerHour: number): number {
  return (poundsPerHour * GRAMS_PER_POUND) / 3600;
}

/** Injector flow by volume [cm³/min]; a volume rating means nothing without the fluid's density [g/cm³]. @source formula-sheet; PH-04j */
export function injectorVolumeFlowCm3PerMin(flowGps: number, densityGPerCm3: number): number {
  return (flowGps * 60) / densityGPerCm3;
}

/** One international pound [g], exact. @source international-pound */
export const GRAMS_PER_POUND = 453.59237;
