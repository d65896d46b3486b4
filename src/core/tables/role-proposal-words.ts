import type { Role } from "./roles.ts";

/** Words of a title that together name a role. Weights say how much each word tells; a word under `never` rules the role out. */
export interface WordRule {
  readonly words: Readonly<Record<string, number>>;
  readonly never?: readonly string[];
}

export interface RoleHint {
  readonly titles: readonly WordRule[];
  /** Values that such a table usually holds. */
  readonly range: readonly [number, number];
  /** The range is meant in the base unit of its quantity (g/s, kPa, fraction), not as written. */
  readonly inBase?: boolean;
  readonly isWhole?: boolean;
  /** Units of other quantities that such a table is also written in. */
  readonly alsoUnits?: readonly string[];
}

const CONCEPT_WORDS: Readonly<Record<string, string>> = {
  ve: "ve|vol eff|volumetric|volumetric efficiency|filling|cylinder filling|breathing|charge efficiency",
  efficiency: "efficiency|eff",
  main: "main|base|primary|normal|high octane|good fuel|premium",
  manifold: "manifold|map",
  speeddensity: "speed density|sd|density",
  meter: "meter|maf|mass airflow|air meter|airflow meter|flow meter|mass air flow|hot wire|sensor|afm|mafs",
  curve: "curve|transfer|transfer function|calibration|characteristic|linearisation|linearization|scaling|scale|frequency|function",
  switchover: "switch|changeover|change over|handover|transition|crossover|blend over|meter only|above|disable|switchover|takeover",
  model: "model|speed density|sd",
  chargetemp: "charge|charge temperature|charge temp|intake charge|inlet charge|charge heating|heat pick up|heat pickup",
  blend: "blend|share|heating|factor|bias|weight|weighting|mix|filter|heat|pickup|pick up|coolant share",
  temperature: "temperature|temp",
  stoich: "stoich|stoichiometric|stoichiometry|stoichiometric ratio|afr stoich",
  ratio: "ratio|afr|air fuel",
  injector: "injector|injectors|injection|inj|nozzle",
  flow: "flow|flow rate|rate|delivery|static|static flow|capacity|size|slope",
  vacuum: "vacuum|pressure difference|manifold vacuum",
  dead: "dead|dead time|deadtime|offset|latency|opening delay|opening time|lag|delay|battery offset|voltage offset|opening|voltage",
  fullload: "full load|wot|wide open|full throttle|power enrichment|pe|power|enrichment|wide open throttle|high load|full",
  mixture: "mixture|equivalence|lambda|enrichment|ratio|eq|fuelling|fueling|fuel|richness|target|phi|equivalence ratio|eq ratio",
  threshold: "threshold|enable|entry|begins|start|on|onset|arm|point|trip|enabling|throttle|limit|above",
  throttle: "throttle|tps|tp|etc|blade|butterfly|plate|bore",
  longtrim: "long|long term|ltft|ltrim|long term trim|long term fuel trim|learned fuel trim|fuel learning|block learn|fuel learn|learn",
  trim: "trim|correction|learning|learn|adaptation|adapt",
  enable: "enable|enabled|switch|on|allow|active|flag|permit",
  idle: "idle|idling|idle air|closed throttle",
  speed: "speed|rpm|revs|setpoint",
  target: "target|setpoint|desired|commanded|set|setting|wanted|speed",
  airflow: "airflow|air|air flow|airmass|air mass|feed",
  base: "base|feed forward|feedforward|running|starting|open loop|required|minimum|warm up|feed|forward|coolant|need",
  follower: "follower|closing|dashpot|cracker|coast|coasting|coastdown|deceleration|return|decel|overrun|follow|damper",
  area: "area|effective area|flow area|opening area|geometry",
  spark: "spark|ignition|timing|advance|spark advance|ignition timing|ignition angle|ign",
  low: "low|low octane|poor|poor fuel|knock fuel|knock|regular|fallback|octane low|poor octane|bad fuel|limp|reduced octane|safe|retarded|borderline|inferior",
  torque: "torque|trq|tq|moment|effort",
  lost: "lost|loss|against|per|decrease|drop|falloff|fall off|sensitivity|effectiveness|versus|vs|efficiency",
  retard: "retard|retarded|spark retard|timing retard",
  reduction: "reduction|reduce|cut|request|requested|decrease|management|limiting|intervention|reducing|limitation|truncation",
  shift: "shift|shifts|upshift|gearshift|gear change|gear changes|changing|change|shifting|gear",
  brake: "brake|held|stall|brakes|hold|holding|braking|stationary|launch|standing|power braking",
  line: "line|line pressure|main pressure|pump|hydraulic|mainline|clamping|transmission pressure",
  pressure: "pressure|press",
  ceiling: "ceiling|maximum|max|limit|cap|upper|highest|most|top",
  time: "time|duration|length|period|seconds",
  up: "up|upshift|upshifts|up shift",
  schedule: "schedule|speed|point|points|map|vehicle speed|pattern|road speed",
  lockup: "lockup|lock up|converter clutch|tcc|clutch|torque converter|converter",
  duty: "duty|duty cycle|pwm|apply|minimum duty",
  minimum: "minimum|min|lowest|floor|least|lower",
  engine: "engine|motor|crankshaft",
  limiter: "limit|limiter|maximum|cut|rev limit|redline|governor|cutoff|cut off|ceiling|max|governed|governing|top",
  revlimit: "rev limit|rev limiter|redline|rev|rpm limit",
  vehicle: "vehicle|road|car|governor|top speed|road speed",
  axle: "axle|final drive|differential|final|diff|rear end|rear axle|crown wheel|gear ratio|axle ratio|drive",
  tire: "tire|tyre|wheel|tires|tyres|tire size|wheel size|rolling",
  revolutions: "revolutions|revs|rev|turns|size|constant|circumference|per km|per kilometre|per kilometer|per mile",
};

/** Concepts of a word or phrase. */
export const WORDS: ReadonlyMap<string, readonly string[]> = buildWords();

function buildWords(): Map<string, string[]> {
  const map = new Map<string, string[]>();
  for (const [concept, spellings] of Object.entries(CONCEPT_WORDS))
    for (const spelling of spellings.split("|")) {
      const concepts = map.get(spelling);
      if (concepts === undefined) map.set(spelling, [concept]);
      else concepts.push(concept);
    }
  return map;
}

export const ROLE_HINTS: Readonly<Record<Role, RoleHint>> = {
  "air.ve": {
    titles: [{ words: { ve: 1 } }, { words: { efficiency: 0.6, main: 0.2, speeddensity: 0.2 } }, { words: { speeddensity: 0.6, main: 0.2, airflow: 0.2 } }],
    range: [0.05, 1.6],
    inBase: true,
  },
  "air.meter-curve": {
    titles: [{ words: { meter: 0.6, curve: 0.4 }, never: ["switchover"] }, { words: { airflow: 0.5, curve: 0.5 } }],
    range: [0, 1000],
    inBase: true,
  },
  "air.model-switch-speed": {
    titles: [
      { words: { switchover: 0.5, model: 0.25, meter: 0.25 } },
      { words: { model: 0.5, speed: 0.2, switchover: 0.3 } },
      { words: { meter: 0.5, speed: 0.2, switchover: 0.3 } },
    ],
    range: [0, 10000],
  },
  "air.charge-temperature-blend": {
    titles: [{ words: { chargetemp: 0.6, blend: 0.4 } }, { words: { chargetemp: 0.5, temperature: 0.5 } }, { words: { blend: 0.5, temperature: 0.5 } }],
    range: [0, 1],
    inBase: true,
  },
  "fuel.stoich": { titles: [{ words: { stoich: 1 } }, { words: { ratio: 0.6, mixture: 0.2, target: 0.2 } }], range: [8, 16] },
  "fuel.injector-flow": { titles: [{ words: { injector: 0.5, flow: 0.5 }, never: ["dead"] }], range: [0.3, 40], inBase: true },
  "fuel.injector-dead-time": { titles: [{ words: { injector: 0.5, dead: 0.5 } }, { words: { dead: 0.7, time: 0.3 } }], range: [0, 10] },
  "fuel.full-load-ratio": { titles: [{ words: { fullload: 0.5, mixture: 0.5 } }], range: [0.6, 16] },
  "fuel.full-load-throttle": { titles: [{ words: { fullload: 0.5, threshold: 0.3, throttle: 0.2 } }], range: [0.05, 1], inBase: true },
  "fuel.long-trim-enabled": {
    titles: [{ words: { longtrim: 0.6, trim: 0.2, enable: 0.2 } }, { words: { trim: 0.6, enable: 0.4 } }],
    range: [0, 1],
    isWhole: true,
    alsoUnits: ["-"],
  },
  "idle.target-speed": { titles: [{ words: { idle: 0.5, speed: 0.25, target: 0.25 } }], range: [400, 2500] },
  "idle.base-airflow": { titles: [{ words: { idle: 0.5, airflow: 0.3, base: 0.2 } }], range: [0, 60], inBase: true },
  "idle.throttle-follower": {
    titles: [{ words: { follower: 0.6, airflow: 0.2, throttle: 0.2 } }, { words: { follower: 0.7, idle: 0.15, airflow: 0.15 } }],
    range: [0, 40],
    inBase: true,
  },
  "throttle.area-curve": { titles: [{ words: { throttle: 0.5, area: 0.5 } }], range: [0, 20000], inBase: true },
  "spark.main": { titles: [{ words: { spark: 0.7, main: 0.3 }, never: ["low", "lost"] }], range: [-20, 65] },
  "spark.low-octane": { titles: [{ words: { spark: 0.5, low: 0.5 } }], range: [-20, 65] },
  "torque.spark-loss": {
    titles: [{ words: { torque: 0.4, retard: 0.35, lost: 0.25 } }, { words: { spark: 0.4, lost: 0.3, torque: 0.3 } }],
    range: [0, 1],
    inBase: true,
  },
  "torque.shift-reduction": {
    titles: [{ words: { torque: 0.35, shift: 0.35, reduction: 0.3 } }, { words: { shift: 0.6, reduction: 0.4 } }],
    range: [0, 1],
    inBase: true,
  },
  "torque.brake-hold-reduction": { titles: [{ words: { brake: 0.6, torque: 0.2, reduction: 0.2 } }], range: [0, 1], isWhole: true, alsoUnits: ["-"] },
  "trans.line-pressure": { titles: [{ words: { line: 0.6, pressure: 0.4 }, never: ["ceiling"] }], range: [100, 3500], inBase: true },
  "trans.line-pressure-ceiling": {
    titles: [{ words: { line: 0.4, pressure: 0.2, ceiling: 0.4 } }, { words: { pressure: 0.5, ceiling: 0.5 } }],
    range: [300, 4000],
    inBase: true,
  },
  "trans.shift-time": { titles: [{ words: { shift: 0.6, time: 0.4 } }], range: [0, 3], inBase: true },
  "trans.shift-speed-up": { titles: [{ words: { shift: 0.5, up: 0.3, schedule: 0.2 } }], range: [0, 350], inBase: true },
  "trans.lockup-duty-minimum": { titles: [{ words: { lockup: 0.6, duty: 0.2, minimum: 0.2 } }], range: [0, 1], inBase: true },
  "limit.engine-speed": {
    titles: [{ words: { limiter: 0.5, engine: 0.3, speed: 0.2 }, never: ["vehicle"] }, { words: { revlimit: 1 } }],
    range: [3000, 12000],
  },
  "limit.vehicle-speed": { titles: [{ words: { limiter: 0.5, vehicle: 0.4, speed: 0.1 } }], range: [60, 420], inBase: true },
  "driveline.axle-ratio": { titles: [{ words: { axle: 0.7, ratio: 0.3 } }, { words: { axle: 1 } }], range: [1.5, 7] },
  "driveline.tire-revs-per-km": { titles: [{ words: { tire: 0.6, revolutions: 0.4 } }], range: [250, 750], inBase: true },
};
