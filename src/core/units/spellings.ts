import type { Quantity } from "./conversions.ts";
import type { SignalId } from "./signals.ts";

/**
 * Words that mean one thing, by concept. A name is cut into words, words become concepts, and signals are described in concepts;
 * so a new spelling is one word here and not one more line for every signal. A phrase of several words is joined by "+".
 */
export const CONCEPTS: Readonly<Record<string, string>> = {
  engine: "engine eng motor ice",
  revs: "rpm speed+rpm revs revolutions+per+minute rotational+speed engspd nmot n+engine rotations",
  speed: "speed spd velocity vel n",
  vehicle: "vehicle veh car chassis road ground gps",
  vss: "vss vspd vehspd vehiclespeed",
  manifold: "manifold mani inlet+manifold intake+manifold man plenum intakemanifold inletmanifold manif",
  absolute: "absolute abs",
  pressure: "pressure press pres prs prss p",
  map: "map imap mapsensor pmap",
  boost: "boost charge+pressure",
  baro: "baro barometer barometric atmospheric atmosphere atmos atm bap barop barometricpressure patm ambient+pressure ambient+air+pressure",
  ambient: "ambient outside outdoor amb",
  air: "air",
  mass: "mass",
  flow: "flow rate flw flowrate",
  airflow: "airflow airmass mass+air+flow air+mass+flow massflow mass+airflow air+mass air+flow mass+flow airmassflow massairflow mass+air amf",
  maf: "maf mafsensor afm",
  meter: "meter metre sensor+meter",
  frequency: "frequency freq hz frq",
  throttle: "throttle throt thr tps tp tpos throttleposition drosselklappe tb throttlebody throttle+blade throttle+plate throttle+valve",
  pedal: "pedal app accelerator accel apps pps accelerator+pedal accel+pedal acc+pedal gas+pedal acceleratorpedal foot",
  position: "position pos posn opening angle valve+angle opened ang percent+open",
  coolant: "coolant ect clt cts ectemp water cool coolanttemp engine+coolant engine+temp engine+temperature motor+temperature",
  temperature: "temperature temp tmp deg+c t tempc tempf",
  intake: "intake inlet induction",
  iat: "iat mat intaketemp inletairtemp iat1 acttemp intakeairtemp intake+air",
  aircharge: "aircharge air+charge charge+air charge",
  lambda:
    "lambda lam wideband wbo2 wb uego o2+wideband wideband+o2 a/f airfuel afr air+fuel air+fuel+ratio a+f air+to+fuel equivalence equivalence+ratio eq eqratio phi equiv lambdasensor",
  ratio: "ratio",
  short: "short shrt st short+term shortterm stft+short",
  long: "long lng lt long+term longterm",
  stft: "stft shrtft stfueltrim shorttermfueltrim sft stftrim",
  ltft: "ltft longft ltfueltrim longtermfueltrim lft ltftrim",
  trim: "trim trm correction corr ft",
  fuel: "fuel fuelling fueling",
  oxygen: "oxygen o2 o2s o2sensor ho2s oxy narrowband nb ego lambda+probe o2+sensor oxygen+sensor heated+oxygen+sensor ho2",
  voltage: "voltage volts volt v",
  loop: "loop",
  closed: "closed cl closedloop closed+loop clstatus",
  fuelsystem: "fuelsys fuel+system fuelsystem fuel+sys fuel+control",
  status: "status state stat active flag mode activated enabled is on",
  spark: "spark sparkadv ignition ign timing sparkadvance spk ignition+timing spark+timing ignadv",
  advance: "advance adv advanced lead",
  angle: "crank+angle",
  knock: "knock kr knk detonation ping knockretard",
  retard: "retard ret rtd retarded pull withdrawal",
  injector: "injector inj injection injectors",
  width:
    "width pulse pw pulsewidth duration ipw injpw open+time opening+time on+time ontime pulse+width pulse+duration injms inj+time tinj injector+time injection+time base+pulse ti pwidth injpulse",
  battery:
    "battery batt bat vbat vbatt ubat ub b+ vpwr vsys system+voltage supply supply+voltage module+voltage control+module+voltage battvolt batteryvoltage ecu+voltage power+supply batv",
  gear: "gear gearbox+gear gr gearpos",
  converter: "converter tcc lockup lock+up torque+converter converter+clutch torque+converter+clutch tc lock+up+clutch lockup+clutch lock-up",
  clutch: "clutch",
  duty: "duty dc dutycycle duty+cycle pwm",
  slip: "slip slipping slippage slipspeed",
  turbine: "turbine tss iss input+shaft inputshaft turbine+shaft nturbine transmission+input trans+input gearbox+input at+input turb",
  shaft: "shaft",
  idle: "idle idling ls isc iac idl",
  target:
    "target commanded command cmd cmnd desired des setpoint set+point set requested request req reference tgt demand demanded goal wanted spt sp nominal aim dsd trg cmded",
  learned: "learned learnt learn adapt adaption adaptation adaptive adapted learning memory block+learn lrn",
  cam: "cam camshaft cmp cams",
  crank: "crank crankshaft ckp crk",
  sync: "sync synchronised synchronized synchronisation synchronization synced synchro signal+ok",
  counter: "count counter cnt counts number total tally",
  revolution: "revolution revolutions revs+count turns rev cycles",
  torque: "torque trq tq brake+torque torq",
  line: "line mainline main+line pump",
  transmission: "transmission trans gearbox tcm at automatic+transmission atf trn",
  roller: "roller drum rollers dyno dynamometer drums roll dyn",
  wheel: "wheel wheels whl",
  force: "force tractive traction pull+force effort tractive+force tractive+effort load+cell frc",
  oil: "oil eot lube",
  exhaust: "exhaust egt exh catalyst cat",
  purge: "purge evap canister evp",
  fan: "fan cooling+fan",
  egr: "egr",
  vvt: "vvt vanos phaser phasing vct",
  wastegate: "wastegate wg wgdc n75",
  alternator: "alternator alt generator gen",
  limit: "limit limiter max maximum min minimum lim ceiling peak threshold",
  delta: "delta error err difference diff deviation change derivative dot gradient",
  post: "post downstream rear after secondary pre+cat post+cat",
  load: "load calc+load calculated+load",
  raw: "raw adc unfiltered",
  bank: "bank bnk b",
  cylinder: "cylinder cyl per+cylinder",
  power: "power pwr hp kw",
  humidity: "humidity",
  brake: "brake",
  steering: "steering steer",
  acceleration: "acceleration lateral longitudinal",
  rail: "rail railpressure",
  output: "output outshaft oss output+shaft",
  low: "low high",
  tank: "tank level",
  dead: "dead deadtime offset latency",
  relative: "relative rel",
  predicted: "predicted modelled modeled estimated model calculated calc computed est",
  time: "time runtime clock timestamp elapsed",
  economy: "consumption economy mileage odometer distance trip",
  front: "left right front lf rf lr rr fl fr rl",
  temperaturetransmission: "tft",
};

/** Words that say nothing about which signal it is. */
export const NEUTRAL: ReadonlySet<string> = new Set(
  "sensor signal value val sae actual act measured meas real live current the of in at a and to channel ch ecu ecm pcm obd pid filtered filt smoothed averaged avg main primary final generic total measurement reading sens x from by for".split(
    " ",
  ),
);

/** Concepts that change the meaning of a name: a pattern that does not ask for one is refused when the name has it. */
export const QUALIFIERS: ReadonlySet<string> = new Set([
  "target",
  "learned",
  "oil",
  "exhaust",
  "purge",
  "fan",
  "egr",
  "vvt",
  "wastegate",
  "alternator",
  "limit",
  "delta",
  "post",
  "transmission",
  "idle",
  "knock",
  "converter",
  "slip",
  "turbine",
  "roller",
  "rail",
  "output",
  "humidity",
  "brake",
  "steering",
  "acceleration",
  "dead",
  "pedal",
  "cam",
  "boost",
  "ambient",
  "power",
  "tank",
  "economy",
  "temperaturetransmission",
  "frequency",
  "counter",
  "sync",
  "load",
  "cylinder",
  "time",
  "front",
  "low",
  "wheel",
  "clutch",
  "voltage",
  "baro",
  "duty",
  "lambda",
  "line",
  "gear",
]);

/** Concepts that are a hint only: they may be absent, and present they cost nothing. */
export interface Pattern {
  /** Concepts that must all be there. A number asks for that bank, sensor or track. */
  readonly all: readonly string[];
  /** Concepts that may be there besides. */
  readonly may?: readonly string[];
  /** How well the pattern alone names the signal, 0–1. */
  readonly weight: number;
  /** The name alone says another signal; only with a unit of this one's quantity is it this one: "MAF [Hz]". */
  readonly needsUnit?: boolean;
}

export interface SignalSpelling {
  readonly signal: SignalId;
  readonly quantities: readonly Quantity[];
  readonly patterns: readonly Pattern[];
  /** The track or bank that the signal is, where it has one. A name without a number is taken for number 1, a little less surely. */
  readonly number?: 1 | 2;
}

function p(all: string, weight: number, may = ""): Pattern {
  return { all: all.split(" "), may: may === "" ? [] : may.split(" "), weight };
}

const SHARE: readonly Quantity[] = ["share"];
const TRIM = [p("stft", 1, "bank fuel trim short"), p("short trim", 1, "bank fuel"), p("short fuel", 0.9, "bank")] as const;
const LONG_TRIM = [p("ltft", 1, "bank fuel trim long"), p("long trim", 1, "bank fuel"), p("long fuel", 0.9, "bank")] as const;
const OXYGEN = [p("oxygen voltage", 1, "bank"), p("oxygen", 0.9, "bank")] as const;
const THROTTLE = [p("throttle position", 1, "absolute bank"), p("throttle", 0.95, "absolute")] as const;

/** Every signal of the contract, in concepts. */
export const SPELLINGS: readonly SignalSpelling[] = [
  {
    signal: "rpm",
    quantities: ["rotation"],
    patterns: [p("engine revs", 1, "speed crank"), p("engine speed", 1, "crank"), p("revs", 0.97, "speed"), p("crank speed", 0.9), p("crank revs", 0.9)],
  },
  {
    signal: "map",
    quantities: ["pressure"],
    patterns: [
      p("manifold absolute pressure", 1, "map air intake"),
      p("map", 1, "pressure absolute manifold intake"),
      p("manifold pressure", 0.97, "air intake"),
      p("intake pressure", 0.9, "air absolute manifold"),
      p("boost pressure", 0.75, "absolute"),
      p("boost", 0.6),
      p("aircharge pressure", 0.7),
    ],
  },
  { signal: "baro", quantities: ["pressure"], patterns: [p("baro", 1, "pressure absolute air ambient"), p("ambient pressure", 0.95, "air absolute")] },
  {
    signal: "maf",
    quantities: ["mass flow"],
    patterns: [
      p("maf", 1, "airflow flow mass air meter engine"),
      p("airflow", 0.95, "maf meter engine intake mass flow"),
      p("air mass flow", 1),
      p("air flow", 0.9, "mass meter engine intake"),
    ],
  },
  {
    signal: "mafHz",
    quantities: ["frequency"],
    patterns: [
      p("maf frequency", 1, "airflow air meter"),
      p("airflow frequency", 1, "meter"),
      p("air meter frequency", 1, "flow"),
      p("meter frequency", 0.9),
      { ...p("maf", 0.95, "airflow meter"), needsUnit: true },
      { ...p("airflow", 0.9, "maf meter"), needsUnit: true },
    ],
  },
  { signal: "tp1", quantities: ["share", "angle"], patterns: THROTTLE, number: 1 },
  { signal: "tp2", quantities: ["share", "angle"], patterns: THROTTLE, number: 2 },
  { signal: "pedal", quantities: SHARE, patterns: [p("pedal", 0.98, "position absolute relative"), p("pedal position", 1, "throttle absolute relative")] },
  {
    signal: "ect",
    quantities: ["temperature"],
    patterns: [p("coolant", 0.98, "temperature engine"), p("coolant temperature", 1, "engine"), p("engine temperature", 0.8)],
  },
  {
    signal: "iat",
    quantities: ["temperature"],
    patterns: [
      p("iat", 1, "temperature air intake manifold"),
      p("intake temperature", 0.98, "air manifold"),
      p("manifold temperature", 0.85, "air"),
      p("aircharge temperature", 0.85, "intake"),
      p("air temperature", 0.75),
    ],
  },
  {
    signal: "lambda",
    quantities: ["mixture"],
    patterns: [p("lambda", 0.95, "bank ratio oxygen air fuel"), p("air fuel ratio", 0.95, "bank"), p("oxygen lambda", 1, "bank")],
  },
  {
    signal: "lambdaTarget",
    quantities: ["mixture"],
    patterns: [p("lambda target", 1, "bank ratio air fuel"), p("air fuel ratio target", 1), p("fuel ratio target", 0.8), p("fuel target", 0.6)],
  },
  { signal: "stft1", quantities: SHARE, patterns: TRIM, number: 1 },
  { signal: "stft2", quantities: SHARE, patterns: TRIM, number: 2 },
  { signal: "ltft1", quantities: SHARE, patterns: LONG_TRIM, number: 1 },
  { signal: "ltft2", quantities: SHARE, patterns: LONG_TRIM, number: 2 },
  { signal: "o2v1", quantities: ["voltage"], patterns: OXYGEN, number: 1 },
  { signal: "o2v2", quantities: ["voltage"], patterns: OXYGEN, number: 2 },
  {
    signal: "closedLoop",
    quantities: ["state", "count"],
    patterns: [
      p("closed", 0.9, "loop status fuelsystem fuel"),
      p("closed loop", 1, "status fuel fuelsystem"),
      p("loop status", 0.85, "fuel"),
      p("fuelsystem status", 0.85, "loop bank"),
      p("fuel loop", 0.8, "status"),
    ],
  },
  {
    signal: "spark",
    quantities: ["angle"],
    patterns: [p("spark advance", 1, "angle position"), p("spark", 0.93, "angle position"), p("advance", 0.6, "angle")],
  },
  {
    signal: "knockRetard",
    quantities: ["angle"],
    patterns: [p("knock retard", 1, "spark angle cylinder"), p("knock", 0.9, "spark angle"), p("spark retard", 0.6)],
  },
  {
    signal: "injMs",
    quantities: ["time"],
    patterns: [
      p("injector width", 1, "bank fuel time"),
      p("width", 0.85, "fuel bank"),
      p("injector time", 0.95, "bank fuel"),
      p("injector", 0.6, "bank fuel"),
      p("fuel width", 0.9, "bank"),
    ],
  },
  { signal: "battery", quantities: ["voltage"], patterns: [p("battery", 0.98, "voltage"), p("battery voltage", 1)] },
  { signal: "vss", quantities: ["speed"], patterns: [p("vehicle speed", 1), p("vss", 1, "speed vehicle"), p("speed", 0.8), p("vehicle", 0.5)] },
  { signal: "gear", quantities: ["count"], patterns: [p("gear", 0.97, "transmission position"), p("transmission gear", 1, "position")] },
  { signal: "lockupDuty", quantities: SHARE, patterns: [p("converter duty", 1, "clutch torque"), p("converter", 0.7, "clutch torque")] },
  { signal: "slip", quantities: ["rotation"], patterns: [p("converter slip", 1, "clutch torque speed revs"), p("slip", 0.85, "speed revs converter clutch")] },
  {
    signal: "turbineRpm",
    quantities: ["rotation"],
    patterns: [
      p("turbine revs", 1, "shaft speed transmission"),
      p("turbine speed", 1, "shaft transmission"),
      p("turbine", 0.95, "shaft transmission"),
      p("turbine revs", 1, "speed shaft transmission"),
    ],
  },
  {
    signal: "idleAirTarget",
    quantities: ["mass flow"],
    patterns: [
      p("idle airflow target", 1, "flow engine"),
      p("idle air target", 1, "flow mass"),
      p("idle maf target", 1),
      p("idle airflow", 0.7),
      p("idle air", 0.6, "flow"),
    ],
  },
  {
    signal: "idleAirAdapt",
    quantities: ["mass flow"],
    patterns: [
      p("idle airflow learned", 1, "long trim"),
      p("idle air learned", 1, "flow long trim"),
      p("idle airflow trim", 0.85, "long"),
      p("idle air trim", 0.85, "flow long"),
      p("idle learned", 0.7, "long trim"),
    ],
  },
  {
    signal: "idleTarget",
    quantities: ["rotation"],
    patterns: [
      p("idle speed target", 1, "engine revs"),
      p("idle revs target", 1, "engine speed"),
      p("idle target", 0.9, "engine"),
      p("engine revs target", 0.65),
      p("engine speed target", 0.65),
      p("idle speed", 0.6),
      p("idle revs", 0.6),
    ],
  },
  {
    signal: "camSync",
    quantities: ["state", "count"],
    patterns: [p("cam sync", 1, "status crank"), p("cam status", 0.85), p("sync", 0.7, "status cam crank engine"), p("cam", 0.5)],
  },
  {
    signal: "crankCount",
    quantities: ["count"],
    patterns: [
      p("crank counter", 1, "revolution revs"),
      p("crank revolution", 0.95, "counter"),
      p("crank revs counter", 1),
      p("revolution counter", 0.9, "engine"),
      p("engine revolution", 0.7, "counter"),
      p("revs counter", 0.7, "engine"),
    ],
  },
  {
    signal: "mapTarget",
    quantities: ["pressure"],
    patterns: [
      p("manifold pressure target", 1, "absolute air boost"),
      p("map target", 1, "pressure manifold"),
      p("boost target", 0.95, "pressure absolute"),
      p("aircharge pressure target", 0.8),
    ],
  },
  { signal: "torque", quantities: ["torque"], patterns: [p("engine torque", 1, "predicted"), p("torque", 0.9, "predicted")] },
  {
    signal: "linePressure",
    quantities: ["pressure"],
    patterns: [p("line pressure", 1, "transmission"), p("transmission pressure", 0.85), p("line", 0.6, "transmission")],
  },
  { signal: "rollerKmh", quantities: ["speed"], patterns: [p("roller speed", 1), p("roller", 0.6), p("wheel speed", 0.6)] },
  { signal: "rollerForceN", quantities: ["force"], patterns: [p("roller force", 1), p("force", 0.9, "wheel"), p("wheel force", 0.95), p("roller load", 0.7)] },
];
