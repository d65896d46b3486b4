import type { Role } from "../tables/index.ts";

/** Other titles that makers might give the same tables; where one is missing the role's own name stands. */
const OTHER_TITLES: Readonly<Partial<Record<Role, readonly string[]>>> = {
  "air.ve": ["VE by speed and pressure", "Filling of the cylinders"],
  "air.meter-curve": ["Air meter: flow over frequency", "Meter linearisation"],
  "air.model-switch-speed": ["Meter takes over at", "Change of air model, engine speed"],
  "air.charge-temperature-blend": ["Coolant influence on charge temperature", "Charge heating by coolant"],
  "fuel.stoich": ["Stoichiometric AFR", "Air to fuel by mass at lambda 1"],
  "fuel.injector-flow": ["Injector rate by vacuum", "Flow of one injector"],
  "fuel.injector-dead-time": ["Injector offset", "Injector lag by voltage"],
  "fuel.full-load-ratio": ["Full load richness", "Power mixture by speed"],
  "fuel.full-load-throttle": ["Full load from throttle", "Power mixture enable"],
  "fuel.long-trim-enabled": ["Long trim on", "Learn fuel"],
  "idle.target-speed": ["Idle speed wanted", "Idle rpm by coolant"],
  "idle.base-airflow": ["Idle air by coolant", "Base air for idle"],
  "idle.throttle-follower": ["Follower air", "Air while coasting"],
  "throttle.area-curve": ["Throttle area", "Throttle opening to effective area"],
  "spark.main": ["Ignition advance, good fuel", "Spark, main"],
  "spark.low-octane": ["Ignition advance, low octane", "Spark, low octane"],
  "torque.spark-loss": ["Torque lost by retard", "Retard efficiency loss"],
  "torque.shift-reduction": ["Torque cut in shift", "Shift torque management"],
  "trans.shift-time": ["Time for a shift", "Shift duration wanted"],
  "trans.shift-speed-up": ["Upshift road speed", "Shift up at"],
  "trans.line-pressure": ["Line pressure by torque", "Main pressure"],
};

/** Title of a role's table in a style; style 0 is the role's own name. */
export function titleIn(role: Role | undefined, own: string, style: number): string {
  if (role === undefined || style === 0) return own;
  return OTHER_TITLES[role]?.[style - 1] ?? own;
}
