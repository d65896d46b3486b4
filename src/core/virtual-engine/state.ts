/** Everything that changes from step to step while a vehicle runs. One flat object, because the loop is hot. */
export interface State {
  t: number;
  /** Seconds since the engine last caught; negative: not running. */
  runS: number;
  // plant, air
  rpm: number;
  mapKpa: number;
  boostKpa: number;
  throttle: number;
  throttleGps: number;
  leakGps: number;
  cylinderGps: number;
  meterTrueGps: number;
  chargeK: number;
  intakeC: number;
  soakC: number;
  // plant, fuel and exhaust
  film1: number;
  film2: number;
  pulseMs: number;
  lambda1: number;
  lambda2: number;
  fuelGps: number;
  widebandPre: number;
  wideband: number;
  oxygen1: number;
  oxygen2: number;
  o2v1: number;
  o2v2: number;
  exhaustGps: number;
  // plant, turning
  torqueNm: number;
  scatter: number;
  speedMs: number;
  turbineRpm: number;
  coolantC: number;
  oilC: number;
  batteryV: number;
  chargeShare: number;
  crankRevs: number;
  synced: boolean;
  // sensors as the controller sees them
  mapSensor: number;
  meterSensorGps: number;
  meterHz: number;
  meterAirGps: number;
  iatSensor: number;
  ectSensor: number;
  // controller
  airG: number;
  airGps: number;
  usesMeter: boolean;
  lambdaTarget: number;
  closedLoop: boolean;
  openUntilS: number;
  cut: boolean;
  cutWaitS: number;
  /** Short-term trims as applied (integral and step part), and their integral parts alone. */
  trim1: number;
  trim2: number;
  integral1: number;
  integral2: number;
  lean1: boolean;
  lean2: boolean;
  longNow1: number;
  longNow2: number;
  spark: number;
  knockRetard: number;
  knockLearn: number;
  idleTarget: number;
  idleCommand: number;
  idleAdapt: number;
  idleFiltered: number;
  dragFelt: number;
  throttleCommand: number;
  purge: number;
  filmModel: number;
  // driver and gears
  pedal: number;
  pedalNoise: number;
  pedalIntegral: number;
  brake: number;
  clutch: number;
  clutchLocked: boolean;
  gear: number;
  ratio: number;
  ratioFrom: number;
  shiftLeftS: number;
  shiftTotalS: number;
  shiftCut: number;
  sinceShiftS: number;
  locked: boolean;
  lockSlip: number;
  lockWaitS: number;
  lockDuty: number;
  slipRpm: number;
}

/** What a controller keeps while the key is off. */
export interface Memory {
  readonly long1: Float64Array;
  readonly long2: Float64Array;
  readonly idleAdapt: number;
  readonly knockLearn: number;
}

export function freshMemory(): Memory {
  return { long1: new Float64Array(25), long2: new Float64Array(25), idleAdapt: 0, knockLearn: 0 };
}

/** Temperatures from which a recording starts. */
export interface StartTemperatures {
  readonly coolantC: number;
  readonly oilC: number;
  readonly soakC: number;
}

export function initialState(start: StartTemperatures, ambient: { readonly pressureKpa: number; readonly temperatureC: number }, memory: Memory): State {
  return {
    t: 0,
    runS: -1,
    rpm: 0,
    mapKpa: ambient.pressureKpa,
    boostKpa: ambient.pressureKpa,
    throttle: 3,
    throttleGps: 0,
    leakGps: 0,
    cylinderGps: 0,
    meterTrueGps: 0,
    chargeK: 273.15 + ambient.temperatureC + start.soakC,
    intakeC: ambient.temperatureC + start.soakC,
    soakC: start.soakC,
    film1: 0,
    film2: 0,
    pulseMs: 0,
    lambda1: 1,
    lambda2: 1,
    fuelGps: 0,
    widebandPre: 1,
    wideband: 1,
    oxygen1: 1,
    oxygen2: 1,
    o2v1: 0.45,
    o2v2: 0.45,
    exhaustGps: 0.5,
    torqueNm: 0,
    scatter: 0,
    speedMs: 0,
    turbineRpm: 0,
    coolantC: start.coolantC,
    oilC: start.oilC,
    batteryV: 12.5,
    chargeShare: 0,
    crankRevs: 0,
    synced: false,
    mapSensor: ambient.pressureKpa,
    meterSensorGps: 0,
    meterHz: 400,
    meterAirGps: 0,
    iatSensor: ambient.temperatureC + start.soakC,
    ectSensor: start.coolantC,
    airG: 0,
    airGps: 0,
    usesMeter: false,
    lambdaTarget: 0.9,
    closedLoop: false,
    openUntilS: 0,
    cut: false,
    cutWaitS: 0,
    trim1: 0,
    trim2: 0,
    integral1: 0,
    integral2: 0,
    lean1: false,
    lean2: false,
    longNow1: 0,
    longNow2: 0,
    spark: 8,
    knockRetard: 0,
    knockLearn: memory.knockLearn,
    idleTarget: 900,
    idleCommand: 0,
    idleAdapt: memory.idleAdapt,
    idleFiltered: 0,
    dragFelt: 0,
    throttleCommand: 3,
    purge: 0,
    filmModel: 0,
    pedal: 0,
    pedalNoise: 0,
    pedalIntegral: 0,
    brake: 0,
    clutch: 0,
    clutchLocked: false,
    gear: 0,
    ratio: 0,
    ratioFrom: 0,
    shiftLeftS: 0,
    shiftTotalS: 0,
    shiftCut: 0,
    sinceShiftS: 0,
    locked: false,
    lockSlip: 0,
    lockWaitS: 0,
    lockDuty: 0,
    slipRpm: 0,
  };
}
