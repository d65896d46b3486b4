/** What a role's table holds: canonical units of its cells and axes. `x`/`y` absent: the role has no such axis. */
export interface RoleDescription {
  readonly name: string;
  readonly unit: string;
  readonly x?: { readonly name: string; readonly unit: string };
  readonly y?: { readonly name: string; readonly unit: string; readonly optional?: boolean };
  /** Only 0 and 1 mean something. */
  readonly isSwitch?: boolean;
}

const rpm = { name: "Engine speed", unit: "rpm" } as const;
const map = { name: "Manifold absolute pressure", unit: "kPa" } as const;
const airPerCylinder = { name: "Air per cylinder", unit: "g/cyl" } as const;
const coolant = { name: "Coolant temperature", unit: "°C" } as const;
const torque = { name: "Engine torque", unit: "Nm" } as const;
const vacuum = { name: "Manifold vacuum", unit: "kPa" } as const;
const throttle = { name: "Throttle opening", unit: "%" } as const;
const shift = { name: "Shift", unit: "-" } as const;

/** Every role of the contract, with the units that the core computes in. */
export const ROLES = {
  "air.ve": { name: "Volumetric efficiency", unit: "%", x: rpm, y: map },
  "air.meter-curve": { name: "Airflow meter curve", unit: "g/s", x: { name: "Airflow meter frequency", unit: "Hz" } },
  "air.model-switch-speed": { name: "Speed above which the airflow meter alone is used", unit: "rpm" },
  "air.charge-temperature-blend": { name: "Coolant's share in charge temperature", unit: "fraction", x: { name: "Airflow", unit: "g/s" } },
  "fuel.stoich": { name: "Stoichiometric air-fuel ratio", unit: "AFR" },
  "fuel.injector-flow": { name: "Injector flow", unit: "g/s", x: vacuum },
  "fuel.injector-dead-time": { name: "Injector dead time", unit: "ms", x: { name: "Battery voltage", unit: "V" }, y: { ...vacuum, optional: true } },
  "fuel.full-load-ratio": { name: "Full-load equivalence ratio", unit: "equivalence ratio", x: rpm },
  "fuel.full-load-throttle": { name: "Throttle at which full-load fuel begins", unit: "%", x: rpm },
  "fuel.long-trim-enabled": { name: "Long-term fuel trim enabled", unit: "0/1", isSwitch: true },
  "idle.target-speed": { name: "Idle target speed", unit: "rpm", x: coolant },
  "idle.base-airflow": { name: "Idle base airflow", unit: "g/s", x: coolant },
  "idle.throttle-follower": { name: "Throttle follower airflow", unit: "g/s", x: rpm },
  "throttle.area-curve": { name: "Throttle effective area", unit: "mm²", x: throttle },
  "spark.main": { name: "Main spark advance", unit: "deg", x: rpm, y: airPerCylinder },
  "spark.low-octane": { name: "Low-octane spark advance", unit: "deg", x: rpm, y: airPerCylinder },
  "torque.spark-loss": { name: "Torque lost to spark retard", unit: "fraction", x: { name: "Spark retard from best", unit: "deg" } },
  "torque.shift-reduction": { name: "Torque reduction asked for in shifts", unit: "fraction", x: shift, y: torque },
  "torque.brake-hold-reduction": { name: "Torque reduction when held on the brake", unit: "0/1", isSwitch: true },
  "trans.line-pressure": { name: "Line pressure", unit: "kPa", x: torque, y: { name: "Gear", unit: "-" } },
  "trans.line-pressure-ceiling": { name: "Line pressure ceiling", unit: "kPa" },
  "trans.shift-time": { name: "Shift time", unit: "s", x: torque },
  "trans.shift-speed-up": { name: "Upshift speed", unit: "km/h", x: throttle, y: shift },
  "trans.lockup-duty-minimum": { name: "Lock-up duty minimum", unit: "%", x: torque },
  "limit.engine-speed": { name: "Engine speed limit", unit: "rpm" },
  "limit.vehicle-speed": { name: "Vehicle speed limit", unit: "km/h" },
  "driveline.axle-ratio": { name: "Axle ratio", unit: "-" },
  "driveline.tire-revs-per-km": { name: "Tyre revolutions per kilometre", unit: "1/km" },
} as const satisfies Record<string, RoleDescription>;

export type Role = keyof typeof ROLES;

export function isRole(text: string): text is Role {
  return Object.hasOwn(ROLES, text);
}

export function describeRole(role: Role): RoleDescription {
  return ROLES[role];
}
