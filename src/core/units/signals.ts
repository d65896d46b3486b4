/** One signal of a recording: what the trade calls it, the unit it is kept in, and what values are believable. */
export interface SignalDescription {
  /** Plain name shown to a person. */
  readonly name: string;
  /** Canonical unit; every reader converts to it at the edge. */
  readonly unit: string;
  /** Believable range in the canonical unit: helps recognition and flags nonsense; never clips data. */
  readonly plausible: readonly [number, number];
  /** SAE J1930 abbreviation where there is one. */
  readonly j1930?: string;
  /** Held between samples (a state) rather than interpolated. */
  readonly isState?: boolean;
}

/** Signals of the contract, section 3. Spellings by which files name them live beside, in `spellings.ts`. */
export const SIGNALS = {
  rpm: { name: "Engine speed", unit: "rpm", plausible: [0, 12000], j1930: "RPM" },
  map: { name: "Manifold absolute pressure", unit: "kPa", plausible: [5, 400], j1930: "MAP" },
  baro: { name: "Barometric pressure", unit: "kPa", plausible: [50, 110], j1930: "BARO" },
  maf: { name: "Mass airflow", unit: "g/s", plausible: [0, 1000], j1930: "MAF" },
  mafHz: { name: "Airflow meter frequency", unit: "Hz", plausible: [0, 20000] },
  tp1: { name: "Throttle position 1", unit: "%", plausible: [0, 100], j1930: "TP" },
  tp2: { name: "Throttle position 2", unit: "%", plausible: [0, 100], j1930: "TP" },
  pedal: { name: "Accelerator pedal position", unit: "%", plausible: [0, 100], j1930: "APP" },
  ect: { name: "Engine coolant temperature", unit: "°C", plausible: [-50, 150], j1930: "ECT" },
  iat: { name: "Intake air temperature", unit: "°C", plausible: [-50, 120], j1930: "IAT" },
  lambda: { name: "Lambda measured", unit: "lambda", plausible: [0.5, 8] },
  lambdaTarget: { name: "Lambda commanded", unit: "lambda", plausible: [0.5, 2] },
  stft1: { name: "Short-term fuel trim, bank 1", unit: "%", plausible: [-100, 100], j1930: "SHRTFT1" },
  stft2: { name: "Short-term fuel trim, bank 2", unit: "%", plausible: [-100, 100], j1930: "SHRTFT2" },
  ltft1: { name: "Long-term fuel trim, bank 1", unit: "%", plausible: [-100, 100], j1930: "LONGFT1" },
  ltft2: { name: "Long-term fuel trim, bank 2", unit: "%", plausible: [-100, 100], j1930: "LONGFT2" },
  o2v1: { name: "Oxygen sensor voltage, bank 1 sensor 1", unit: "V", plausible: [0, 1.3], j1930: "O2S11" },
  o2v2: { name: "Oxygen sensor voltage, bank 2 sensor 1", unit: "V", plausible: [0, 1.3], j1930: "O2S21" },
  closedLoop: { name: "Closed loop active", unit: "0/1", plausible: [0, 1], j1930: "CL", isState: true },
  spark: { name: "Spark advance", unit: "deg", plausible: [-30, 70], j1930: "SPARKADV" },
  knockRetard: { name: "Knock retard", unit: "deg", plausible: [0, 40] },
  injMs: { name: "Injector pulse width", unit: "ms", plausible: [0, 60] },
  battery: { name: "Battery voltage", unit: "V", plausible: [5, 18], j1930: "B+" },
  vss: { name: "Vehicle speed", unit: "km/h", plausible: [0, 400], j1930: "VSS" },
  gear: { name: "Gear", unit: "-", plausible: [-1, 12], isState: true },
  lockupDuty: { name: "Lock-up duty", unit: "%", plausible: [0, 100], j1930: "TCC" },
  slip: { name: "Converter slip", unit: "rpm", plausible: [-3000, 8000] },
  turbineRpm: { name: "Turbine shaft speed", unit: "rpm", plausible: [0, 12000], j1930: "TSS" },
  idleAirTarget: { name: "Idle airflow commanded", unit: "g/s", plausible: [0, 60] },
  idleAirAdapt: { name: "Idle airflow learned", unit: "g/s", plausible: [-20, 20] },
  idleTarget: { name: "Idle speed target", unit: "rpm", plausible: [300, 2500] },
  camSync: { name: "Cam synchronised", unit: "0/1", plausible: [0, 1], j1930: "CMP", isState: true },
  crankCount: { name: "Crankshaft revolutions since key-on", unit: "-", plausible: [0, 1e9], j1930: "CKP", isState: true },
  mapTarget: { name: "Manifold pressure target", unit: "kPa", plausible: [5, 400] },
  torque: { name: "Engine torque", unit: "Nm", plausible: [-500, 3000] },
  linePressure: { name: "Line pressure", unit: "kPa", plausible: [0, 4000] },
  rollerKmh: { name: "Roller speed", unit: "km/h", plausible: [0, 450] },
  rollerForceN: { name: "Roller force", unit: "N", plausible: [-5000, 40000] },
} as const satisfies Record<string, SignalDescription>;

export type SignalId = keyof typeof SIGNALS;

export function describeSignal(id: SignalId): SignalDescription {
  return SIGNALS[id];
}
