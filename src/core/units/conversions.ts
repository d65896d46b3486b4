/** What a unit measures; values convert within one quantity only. */
export type Quantity =
  | "acceleration"
  | "air per cylinder"
  | "angle"
  | "area"
  | "count"
  | "energy"
  | "force"
  | "frequency"
  | "length"
  | "mass"
  | "mass flow"
  | "mixture"
  | "power"
  | "pressure"
  | "revolutions per length"
  | "rotation"
  | "share"
  | "speed"
  | "state"
  | "temperature"
  | "time"
  | "torque"
  | "voltage"
  | "current"
  | "volume"
  | "volume flow";

/**
 * A unit of measure: `base = value · scale + offset`, or `base = scale / value` for a reciprocal one.
 *
 * Factors are exact by definition where the definition is exact (inch 25.4 mm, pound 0.45359237 kg, standard gravity 9.80665 m/s²).
 */
export interface Unit {
  readonly symbol: string;
  readonly quantity: Quantity;
  readonly scale: number;
  readonly offset: number;
  readonly isReciprocal?: boolean;
  /** Pressure above ambient: the barometer has to be added to make it absolute. */
  readonly isGauge?: boolean;
}

/** Air-fuel ratio of a wideband instrument that shows "gasoline AFR": 14.7 is lambda 1 whatever is in the tank (common practice). */
export const AFR_OF_LAMBDA_ONE = 14.7;

const POUND_G = 453.59237;
const INCH_MM = 25.4;
const MILE_KM = 1.609344;
const POUND_FORCE_N = 0.45359237 * 9.80665;
const PSI_KPA = (POUND_FORCE_N / (INCH_MM * INCH_MM)) * 1000;
/** Conventional inch and millimetre of mercury: 13 595.1 kg/m³ at 9.80665 m/s². */
const MMHG_KPA = 0.133322387415;
const MMH2O_KPA = 0.00980665;

type Definition = readonly [symbol: string, quantity: Quantity, scale: number, offset: number, spellings: string];

/** Spellings are compared after `normalise`: lower case, no blanks, degree signs gone to "deg". A leading "=" asks for the exact case. */
const DEFINITIONS: readonly Definition[] = [
  ["kPa", "pressure", 1, 0, "kpa kilopascal kilopascals kpaa kpa(a) kpaabs kpa_abs kpaabsolute"],
  ["Pa", "pressure", 0.001, 0, "pa pascal pascals"],
  ["MPa", "pressure", 1000, 0, "=MPa megapascal"],
  ["hPa", "pressure", 0.1, 0, "hpa hectopascal"],
  ["mbar", "pressure", 0.1, 0, "mbar millibar mbara mb"],
  ["bar", "pressure", 100, 0, "bar bara bar(a) barabs"],
  ["psi", "pressure", PSI_KPA, 0, "psi psia psi(a) psiabs lbf/in2 lb/in2 lbs/in2"],
  ["inHg", "pressure", 25.4 * MMHG_KPA, 0, 'inhg in.hg inhga in-hg inchhg incheshg inchesofmercury "hg'],
  ["mmHg", "pressure", MMHG_KPA, 0, "mmhg mm.hg torr"],
  ["inH2O", "pressure", 25.4 * MMH2O_KPA, 0, "inh2o inwc inchesofwater"],
  ["mmH2O", "pressure", MMH2O_KPA, 0, "mmh2o"],
  ["atm", "pressure", 101.325, 0, "atm"],
  ["kgf/cm²", "pressure", 98.0665, 0, "kgf/cm2 kg/cm2 at"],
  ["g/s", "mass flow", 1, 0, "g/s g/sec gps gm/s gm/sec g·s-1 gs-1 gram/s grams/s grams/sec gramspersecond grampersecond g/second grams/second"],
  ["kg/h", "mass flow", 1 / 3.6, 0, "kg/h kg/hr kgh kgph kg/hour kgperhour kgs/hr"],
  ["kg/min", "mass flow", 1000 / 60, 0, "kg/min"],
  ["kg/s", "mass flow", 1000, 0, "kg/s kg/sec"],
  ["g/min", "mass flow", 1 / 60, 0, "g/min gm/min"],
  ["mg/s", "mass flow", 0.001, 0, "mg/s mg/sec"],
  ["lb/min", "mass flow", POUND_G / 60, 0, "lb/min lbs/min lbm/min lbmin ppm lb/m poundsperminute"],
  ["lb/h", "mass flow", POUND_G / 3600, 0, "lb/h lb/hr lbs/hr lbs/h lbm/hr lbm/h pph lb/hour poundsperhour lbhr"],
  ["lb/s", "mass flow", POUND_G, 0, "lb/s lb/sec lbs/s"],
  ["°C", "temperature", 1, 0, "degc c celsius centigrade degcelsius degreesc degreec degreescelsius"],
  ["°F", "temperature", 5 / 9, -160 / 9, "degf f fahrenheit degfahrenheit degreesf degreef degreesfahrenheit"],
  ["K", "temperature", 1, -273.15, "k kelvin degk"],
  ["°R", "temperature", 5 / 9, -273.15, "degr rankine"],
  ["km/h", "speed", 1, 0, "km/h kph kmh km/hr kmph km·h-1 kmh-1 km/hour"],
  ["mph", "speed", MILE_KM, 0, "mph mi/h mi/hr miles/h miles/hour mile/h milesperhour m.p.h"],
  ["m/s", "speed", 3.6, 0, "m/s m/sec mps"],
  ["ft/s", "speed", 0.3048 * 3.6, 0, "ft/s ft/sec fps"],
  ["knot", "speed", 1.852, 0, "knot knots kn kt"],
  ["rpm", "rotation", 1, 0, "rpm 1/min min-1 /min r/min rev/min revs/min u/min min^-1 1/minute rpms revolutionsperminute"],
  ["rad/s", "rotation", 60 / (2 * Math.PI), 0, "rad/s rad/sec"],
  ["rev/s", "rotation", 60, 0, "rev/s rps r/s"],
  ["deg", "angle", 1, 0, "deg degree degrees degca dca degcrank degcrk degbtdc degbtc btdc btc degbeforetdc degcam degkw crankdeg degreescrank dega"],
  ["rad", "angle", 180 / Math.PI, 0, "rad radian radians"],
  ["s", "time", 1, 0, "s sec secs second seconds"],
  ["ms", "time", 0.001, 0, "ms msec msecs millisecond milliseconds millis"],
  ["µs", "time", 1e-6, 0, "us usec microsecond microseconds"],
  ["ns", "time", 1e-9, 0, "ns nanoseconds"],
  ["min", "time", 60, 0, "min minute minutes mins"],
  ["h", "time", 3600, 0, "h hr hour hours hrs"],
  ["d", "time", 86400, 0, "d day days"],
  ["V", "voltage", 1, 0, "v volt volts vdc vdcs"],
  ["mV", "voltage", 0.001, 0, "mv millivolt millivolts"],
  ["A", "current", 1, 0, "a amp amps ampere amperes"],
  ["mA", "current", 0.001, 0, "ma milliamp milliamps"],
  ["Hz", "frequency", 1, 0, "hz hertz 1/s s-1 /s cycles/s"],
  ["kHz", "frequency", 1000, 0, "khz kilohertz"],
  ["fraction", "share", 1, 0, "fraction share ratio0-1 0-1 0..1 0to1 unitfraction"],
  ["%", "share", 0.01, 0, "% percent pct per100 perc pc percentage %dc dc% %duty dutypercent"],
  ["lambda", "mixture", 1, 0, "lambda lam lambdas λ"],
  ["AFR", "mixture", 1 / AFR_OF_LAMBDA_ONE, 0, "afr a/f air/fuel air-fuelratio airfuelratio :1 afr:1 afrgasoline afrpetrol gasafr"],
  ["Nm", "torque", 1, 0, "nm n·m n-m n*m newtonmetre newtonmeter newtonmetres newtonmeters"],
  [
    "lb·ft",
    "torque",
    POUND_FORCE_N * 0.3048,
    0,
    "lb·ft lb-ft lbft ft-lb ftlb ft·lb lbf·ft lbfft ft-lbf ftlbf ft·lbf lbf-ft ft-lbs ftlbs lb.ft ft.lb lbs-ft lbs.ft lbsft lb*ft ft*lb",
  ],
  ["kgf·m", "torque", 9.80665, 0, "kgf·m kgm kg·m kgfm kgf-m kg-m mkg"],
  ["kW", "power", 1, 0, "kw kilowatt kilowatts"],
  ["W", "power", 0.001, 0, "w watt watts"],
  ["hp", "power", (POUND_FORCE_N * 0.3048 * 550) / 1000, 0, "hp bhp whp horsepower"],
  ["PS", "power", 0.73549875, 0, "=PS =ps metrichp cv =CV"],
  ["N", "force", 1, 0, "n newton newtons"],
  ["kN", "force", 1000, 0, "kn_force =kN kilonewton"],
  ["lbf", "force", POUND_FORCE_N, 0, "lbf lb_force poundforce lbs_force"],
  ["kgf", "force", 9.80665, 0, "kgf kp"],
  ["mm²", "area", 1, 0, "mm2 mm^2 sqmm squaremillimetres squaremillimeters mm2effective"],
  ["cm²", "area", 100, 0, "cm2 cm^2 sqcm"],
  ["in²", "area", INCH_MM * INCH_MM, 0, "in2 in^2 sqin squareinches"],
  ["m²", "area", 1e6, 0, "m2 m^2"],
  ["L", "volume", 1, 0, "l liter litre liters litres dm3"],
  ["cc", "volume", 0.001, 0, "cc cm3 cm^3 ml ccm"],
  ["in³", "volume", (INCH_MM * INCH_MM * INCH_MM) / 1e6, 0, "in3 in^3 cuin cid ci"],
  ["cc/min", "volume flow", 1, 0, "cc/min cm3/min ml/min ccm/min"],
  ["L/h", "volume flow", 1000 / 60, 0, "l/h l/hr"],
  ["mm", "length", 1, 0, "mm millimetre millimeter"],
  ["cm", "length", 10, 0, "cm"],
  ["m", "length", 1000, 0, "m metre meter metres meters"],
  ["km", "length", 1e6, 0, "km kilometre kilometer kilometres kilometers"],
  ["in", "length", INCH_MM, 0, "in inch inches"],
  ["ft", "length", 304.8, 0, "ft feet foot"],
  ["mi", "length", MILE_KM * 1e6, 0, "mi mile miles"],
  ["kg", "mass", 1, 0, "kg kilogram kilograms"],
  ["g", "mass", 0.001, 0, "g gram grams"],
  ["lb", "mass", POUND_G / 1000, 0, "lb lbs lbm pound pounds"],
  ["g/cyl", "air per cylinder", 1, 0, "g/cyl g/cylinder g/cyl/cycle g/stroke g/str g/rev/cyl gram/cyl grams/cyl gpercyl g/intakestroke"],
  ["mg/cyl", "air per cylinder", 0.001, 0, "mg/cyl mg/cylinder mg/stroke mg/str mg/stk mg/hub mg/strk"],
  ["lb/cyl", "air per cylinder", POUND_G, 0, "lb/cyl lbs/cyl"],
  ["1/km", "revolutions per length", 1, 0, "1/km rev/km revs/km revolutions/km r/km km-1 revperkm revsperkm"],
  ["1/mi", "revolutions per length", 1 / MILE_KM, 0, "1/mi rev/mi revs/mi rev/mile revs/mile revolutions/mile 1/mile r/mi revpermile revspermile"],
  ["m/s²", "acceleration", 1, 0, "m/s2 m/s^2 m/s/s"],
  ["gn", "acceleration", 9.80665, 0, "gn"],
  ["J", "energy", 1, 0, "j joule joules"],
  ["0/1", "state", 1, 0, "0/1 bool boolean on/off flag switch state status 1/0 yes/no true/false logic binary"],
  ["-", "count", 1, 0, "- – — none count counts gear # no unitless dimensionless 1 number n/a na ratio nodim [-] integer int"],
];

/** Reciprocal of lambda: fuel over stoichiometric fuel. */
const EQUIVALENCE_RATIO: Unit = { symbol: "equivalence ratio", quantity: "mixture", scale: 1, offset: 0, isReciprocal: true };
const EQUIVALENCE_SPELLINGS = "equivalenceratio eqratio eqr eq.ratio phi φ fuel-airequivalenceratio equivalence eq fuelairequivalenceratio faequivalenceratio";

const GAUGE_SPELLINGS: Readonly<Record<string, string>> = {
  psig: "psi",
  "psi(g)": "psi",
  psigauge: "psi",
  barg: "bar",
  "bar(g)": "bar",
  bargauge: "bar",
  kpag: "kPa",
  "kpa(g)": "kPa",
  kpagauge: "kPa",
  inhgg: "inHg",
  mbarg: "mbar",
};

interface Dictionary {
  readonly bySymbol: ReadonlyMap<string, Unit>;
  readonly exact: ReadonlyMap<string, Unit>;
  readonly folded: ReadonlyMap<string, Unit>;
}

function buildDictionary(): Dictionary {
  const bySymbol = new Map<string, Unit>();
  const exact = new Map<string, Unit>();
  const folded = new Map<string, Unit>();
  for (const [symbol, quantity, scale, offset, spellings] of DEFINITIONS) {
    const unit: Unit = { symbol, quantity, scale, offset };
    bySymbol.set(symbol, unit);
    exact.set(symbol, unit);
    for (const spelling of spellings.split(" "))
      if (spelling.startsWith("=")) exact.set(spelling.slice(1), unit);
      else if (!folded.has(spelling)) folded.set(spelling, unit);
  }
  bySymbol.set(EQUIVALENCE_RATIO.symbol, EQUIVALENCE_RATIO);
  for (const spelling of EQUIVALENCE_SPELLINGS.split(" ")) folded.set(spelling, EQUIVALENCE_RATIO);
  for (const [spelling, symbol] of Object.entries(GAUGE_SPELLINGS))
    folded.set(spelling, { ...bySymbol.get(symbol)!, symbol: `${symbol} gauge`, isGauge: true });
  return { bySymbol, exact, folded };
}

const DICTIONARY = buildDictionary();

/** Every unit known, by symbol, in the order of the table. */
export function knownUnits(): readonly Unit[] {
  return [...DICTIONARY.bySymbol.values()];
}

/** Degree and micro signs in all the ways that encodings leave them, powers, blanks. */
function normalise(text: string): string {
  return text
    .replace(/Â(?=[°²³µ])/g, "")
    .replace(/[°º˚�]/g, "deg")
    .replace(/[µμ]/g, "u")
    .replace(/²/g, "2")
    .replace(/³/g, "3")
    .replace(/[⋅∙×•]/g, "·")
    .replace(/⁻¹/g, "-1")
    .replace(/\s+per\s+/gi, "/")
    .replace(/\s+/g, "")
    .toLowerCase();
}

/** The unit that a text names, or undefined. Upper and lower case matter only where they must (mPa and MPa). */
export function parseUnit(text: string): Unit | undefined {
  const trimmed = text.trim();
  if (trimmed === "") return undefined;
  const exact = DICTIONARY.exact.get(trimmed);
  if (exact !== undefined) return exact;
  const key = normalise(trimmed);
  const found = DICTIONARY.folded.get(key) ?? DICTIONARY.folded.get(key.replace(/[.]/g, "")) ?? DICTIONARY.folded.get(key.replace(/[()[\]]/g, ""));
  return found;
}

function unitOf(unit: Unit | string): Unit {
  if (typeof unit !== "string") return unit;
  const parsed = DICTIONARY.bySymbol.get(unit) ?? parseUnit(unit);
  if (parsed === undefined) throw new RangeError(`"${unit}" is not a unit that is known here`);
  return parsed;
}

/** True when values in one unit can be given in the other. */
export function isConvertible(from: Unit | string, to: Unit | string): boolean {
  return unitOf(from).quantity === unitOf(to).quantity;
}

/** How to go from one unit to another: `to = value · scale + offset`, or `scale / value` when `isReciprocal`. */
export interface Conversion {
  readonly scale: number;
  readonly offset: number;
  readonly isReciprocal: boolean;
}

/** The conversion between two units. @throws RangeError when they measure different things. */
export function conversionOf(from: Unit | string, to: Unit | string): Conversion {
  const a = unitOf(from);
  const b = unitOf(to);
  if (a.quantity !== b.quantity) throw new RangeError(`${a.symbol} is ${a.quantity}, ${b.symbol} is ${b.quantity}: no conversion`);
  if (a.symbol === b.symbol || (a.scale === b.scale && a.offset === b.offset && !a.isReciprocal && !b.isReciprocal))
    return { scale: 1, offset: 0, isReciprocal: false };
  if (a.isReciprocal) return { scale: a.scale / b.scale, offset: 0, isReciprocal: true };
  if (b.isReciprocal) return { scale: b.scale / a.scale, offset: 0, isReciprocal: true };
  return { scale: a.scale / b.scale, offset: (a.offset - b.offset) / b.scale, isReciprocal: false };
}

/** A value given in another unit; NaN stays NaN. @throws RangeError when the units measure different things. */
export function convert(value: number, from: Unit | string, to: Unit | string): number {
  return applyConversion(value, conversionOf(from, to));
}

export function applyConversion(value: number, by: Conversion): number {
  return by.isReciprocal ? by.scale / value : value * by.scale + by.offset;
}
