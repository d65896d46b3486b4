import type { Severity } from "../../core/result/index.ts";
import { ENGLISH_DRAWING_WORDS } from "../../drawing/index.ts";
import { ENGLISH_CAUTIONS } from "./cautions.ts";
import { ENGLISH_COMEBACK } from "./comeback.ts";
import { ENGLISH_FAULTS } from "./faults.ts";

/** "1 table", "2 tables". */
function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}

const SMALL = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

/** Small numbers in words, for running text. */
function inWords(n: number, one: string, many = `${one}s`): string {
  return `${SMALL[n] ?? n} ${n === 1 ? one : many}`;
}

/** How a probability is said. */
function likelihood(probability: number): string {
  if (probability >= 0.95) return "almost certain";
  if (probability >= 0.8) return "very likely";
  if (probability >= 0.6) return "likely";
  if (probability >= 0.4) return "about even";
  if (probability >= 0.15) return "possible";
  if (probability >= 0.03) return "unlikely";
  return "very unlikely";
}

function list(items: readonly string[]): string {
  return items.length <= 1 ? (items[0] ?? "") : `${items.slice(0, -1).join(", ")} and ${items[items.length - 1]}`;
}

const severities: Readonly<Record<Severity, string>> = { stop: "Stop", fix: "Fix", watch: "Watch", note: "Note" };

/** Every word of the reports in one place; another language is another object of this shape. */
export const ENGLISH = {
  language: "en",
  count,
  inWords,
  list,
  likelihood,
  severities,
  faults: ENGLISH_FAULTS,
  cautions: ENGLISH_CAUTIONS,
  comeback: ENGLISH_COMEBACK,
  pictures: ENGLISH_DRAWING_WORDS,
  percent: (fraction: number) =>
    fraction > 0 && fraction < 0.005 ? "under 1 %" : fraction > 0.995 && fraction < 1 ? "over 99 %" : `${Math.round(fraction * 100)} %`,
  figure: (n: number) => `Figure ${n}`,
  contents: "Contents",
  unnamedVehicle: "Vehicle without a name",
  title: {
    report: "Inspection and corrections",
    owner: "For the owner",
    workshop: "Workshop sheet",
    preparedBy: (by: string) => `prepared by ${by}`,
    job: (job: string) => `job ${job}`,
    revision: (revision: string) => `revision ${revision}`,
  },
  facts: {
    heading: "The vehicle",
    engine: "Engine",
    engineText: (litres: string, cylinders: number, boosted: boolean | undefined) =>
      `${litres} L, ${count(cylinders, "cylinder")}${boosted ? ", boosted" : ""}`,
    compression: (ratio: string) => `compression ${ratio}`,
    cam: "Camshaft",
    camText: (duration: string, lift: string, separation: string) => list([duration, lift, separation].filter((part) => part !== "")),
    camDuration: (deg: string) => `${deg}° duration`,
    camLift: (lift: string) => `${lift} lift`,
    camSeparation: (deg: string) => `${deg}° lobe separation`,
    camChanged: "not the factory's",
    fuel: "Fuel",
    ethanol: (percent: string) => `${percent} % ethanol by volume`,
    rail: (pressure: string, reference: string | undefined) =>
      `rail at ${pressure}${reference === "atmosphere" ? " over atmosphere" : reference === "manifold" ? " over the manifold" : ""}`,
    injectors: "Injectors",
    transmission: "Transmission",
    axle: (ratio: string) => `axle ratio ${ratio}`,
    mass: "Mass",
    complaint: "Complaint",
    changes: "Changed, as told",
    sensors: "Sensors",
    wideband: (fitted: boolean) => (fitted ? "wide-range lambda sensor" : "no wide-range lambda sensor"),
    meter: (fitted: boolean) => (fitted ? "airflow meter" : "no airflow meter"),
    ambient: "Ambient",
    codes: "Trouble codes",
    relativeHumidity: (percent: string) => `${percent} % relative humidity`,
  },
  summary: {
    read: (recordings: number, minutes: string, tables: number) => {
      const compared = `${count(tables, "table")} compared with the factory's`;
      const heard = `${capital(inWords(recordings, "recording"))} read, ${minutes} together`;
      if (recordings === 0 && tables === 0) return "Neither recordings nor a calibration to compare came with this vehicle.";
      if (recordings === 0) return `${compared}; no recording came with the vehicle.`;
      return tables === 0 ? `${heard}; no table could be compared with the factory's.` : `${heard}, and ${compared}.`;
    },
    stops: (n: number) =>
      n === 1 ? "One thing must stop before the vehicle is driven hard." : `${capital(inWords(n, "thing"))} must stop before the vehicle is driven hard.`,
    fixes: (fix: number, watch: number) =>
      fix === 0 && watch === 0
        ? ""
        : fix === 0
          ? `Nothing to fix in the calibration, ${inWords(watch, "matter")} to watch.`
          : `${capital(inWords(fix, "contradiction"))} to fix${watch === 0 ? "" : ` and ${inWords(watch, "matter")} to watch`}.`,
    coherent: "The calibration holds together.",
    healthy: (words: string, percent: string) => `The recordings speak for a mechanically sound engine (${words}, ${percent}).`,
    suspect: (name: string, words: string, percent: string) => `The recordings speak for this: ${lower(name)} (${words}, ${percent}).`,
    corrections: (offered: number, held: number) =>
      offered + held === 0
        ? ""
        : held === 0
          ? `${capital(inWords(offered, "table"))} corrected from the recordings.`
          : offered === 0
            ? `${capital(inWords(held, "correction"))} held back until that is repaired.`
            : `${capital(inWords(offered, "table"))} corrected from the recordings, ${inWords(held, "correction")} held back until that is repaired.`,
  },
  sections: {
    stops: "Stop first",
    given: "What we were given",
    edits: "What the last hand changed",
    findings: "What contradicts itself",
    recordings: "What the recordings show",
    suspects: "Which fault explains it",
    corrections: "Corrections",
    pulls: "Pulls",
    couldNot: "What could not be done",
    cautions: "Before you go on",
    files: "Files",
  },
  stops: {
    lead: "Each of these can hurt the engine or a person. They come before every number on the pages that follow.",
  },
  given: {
    none: "No recording came with this vehicle. A warm idle and twenty minutes of mixed driving would let air, fuel and wear be judged.",
    lead: (recordings: number, minutes: string) =>
      `${capital(inWords(recordings, "recording"))}, ${minutes} in all. What was mended in reading stands beside each.`,
    heads: { file: "Recording", duration: "Length", rows: "Rows", signals: "Signals known", repairs: "Mended in reading" },
    repairsNone: "nothing",
    unrecognised: (n: number, names: string) => `${count(n, "column")} kept but not recognised: ${names}`,
    signalsLabel: "Signals and how the file names them",
    remarks: "What was taken as read",
    signalHeads: { signal: "Signal", source: "In the file" },
  },
  edits: {
    none: "There is no factory calibration to compare with, so it cannot be told what was changed.",
    untouched: "No table differs from the factory's.",
    lead: (changed: number, total: number) =>
      `${changed} of ${count(total, "table")} differ from the factory's. Dashed lines are the factory's, solid ones what came in.`,
    unchanged: (n: number, names: string) =>
      `${capital(inWords(n, "table"))} ${n === 1 ? "is" : "are"} as the factory shipped ${n === 1 ? "it" : "them"}: ${names}.`,
    others: "Also changed",
    kind: "Kind",
    role: "Role",
    noRole: "role not known",
    cells: (n: number) => count(n, "cell"),
    caption: (table: string, largest: string, where: string) => `${table}: the largest change is ${largest}${where === "" ? "" : ` at ${where}`}.`,
    captionAlone: (table: string) => `${table} as received; the factory's has no such table to lay beside it.`,
    fieldCaption: (cells: number, of: number) => `Where it differs: ${cells} of ${count(of, "cell")}.`,
    factory: "factory",
    received: "as received",
    relative: (name: string) => `${name}, relative`,
  },
  kinds: {
    unchanged: "unchanged",
    scaled: "times one factor",
    offset: "plus one amount",
    zeroed: "set to zero",
    flattened: "one value throughout",
    clamped: "cut at a limit",
    patched: "a patch overwritten",
    "part-scaled": "a part times a factor",
    "part-offset": "a part plus an amount",
    smoothed: "smoothed",
    spiked: "a few cells",
    reshaped: "reshaped",
    "axes-changed": "other breakpoints",
    missing: "missing",
    added: "added",
  } as Readonly<Record<string, string>>,
  findings: {
    none: "No contradiction was found between the tables, the fuel and the hardware.",
    noTables: "Without the calibration nothing can be said about contradictions.",
    lead: (parts: string) => `${capital(parts)}. The gravest come first.`,
    bySeverity: {
      stop: (n: number) => `${n} to stop for`,
      fix: (n: number) => `${n} to fix`,
      watch: (n: number) => `${n} to watch`,
      note: (n: number) => count(n, "note"),
    },
    because: "Because",
    toldFirst: (heading: string) => `Told at the head of this report: ${lower(heading)}.`,
    act: "Do",
    tables: "Tables",
    check: "Check",
    see: (figure: string) => `see ${lower(figure)}`,
    profileCaption: (table: string) => `${table} as received, against the factory's.`,
    alone: (table: string) => `${table} as received.`,
  },
  chains: {
    request: "request",
    lookUp: "look-up",
    effect: "effect",
    asks: (low: string, high: string) => `asks for ${low} to ${high} of the torque`,
    asksNothing: "asks for nothing",
    lossOfNothing: "is zero throughout, so no retard answers the request",
    lossReaches: (most: string) => `says how much torque each degree takes, up to ${most}`,
    retard: "Spark retard in the shift",
    retardUnit: "deg",
    retardNone: "no retard can be found; the shift gets full torque",
    retardSome: (low: string, high: string) => `retard of ${low} to ${high}`,
    retardShort: (most: string) => `the table ends below the request; retard stays at ${most}`,
    broken: "no answer",
    short: "falls short",
    captionBroken: "The shift asks for less torque, the look-up has no answer, and nothing is taken away.",
    captionShort: "The shift asks for more torque reduction than the look-up can give.",
    captionWhole: "The torque asked for in a shift is turned into spark retard.",
    pressureAsked: (most: string) => `commands up to ${most}`,
    ceilingSays: (ceiling: string) => `the valve body takes at most ${ceiling}`,
    pressureGot: "Pressure at the clutches",
    pressureDumped: "above the ceiling the valve body dumps pressure",
    pressureCaption: (cells: number) => `${count(cells, "cell")} of line pressure command more than the valve body takes.`,
    dumped: "dumped",
  },
  recordings: {
    none: "No recording came with this vehicle.",
    lead: "Each recording is drawn whole, with what kind of driving it was along the top.",
    wholeCaption: (file: string, minutes: string, moments: string) => `${file}, ${minutes}: ${moments}.`,
    noMoments: "no moment long enough to name",
    moments: {
      crank: "crank",
      "warm-up": "warm-up",
      "warm-idle": "warm idle",
      cruise: "cruise",
      "tip-in": "tip-in",
      "fuel-cut": "fuel cut",
      "full-load": "full load",
      shift: "shift",
    } as Readonly<Record<string, string>>,
    momentCount: (n: number, name: string) => (n === 1 ? `one ${name}` : `${SMALL[n] ?? n} × ${name}`),
    residualCaption: (title: string, middle: string, low: string, high: string) =>
      `${title}: the middle of the steady samples is ${middle}, half of them lie between ${low} and ${high}.`,
    fuelResidual: "Fuel residual",
    fuelResidualTitle: "Fuel residual against airflow",
    modelResidual: "Meter over speed-density air",
    modelResidualTitle: "Meter over speed-density air against airflow",
    airflow: "Airflow",
    alignmentTitle: (file: string) => `${file}: swing of the mixture asked for and measured`,
    mixtureAsked: "λ asked for",
    mixtureAsLogged: "λ measured, as logged",
    mixtureMovedBack: "λ measured, moved back",
    delayTitle: (file: string) => `${file}: what each delay would leave`,
    delayTried: "Delay tried",
    delayLeft: "Measured against asked for, quick changes",
    delayCaption: (delay: string) => `The difference between measured and asked for by the delay tried; the one in use, ${delay}, lies where it is least.`,
    delayNotLeast: (delay: string) =>
      `The difference between measured and asked for by the delay tried; the one in use is ${delay}: this recording alone would choose another.`,
    coverageTitle: (table: string) => `Where the engine was, on the cells of ${lower(table)}`,
    coverageCaption: (cells: number, total: number) => `The drive touched ${cells} of ${total} cells.`,
    coverageNext: (n: number) => `Numbers mark the ${n === 1 ? "place" : `${SMALL[n] ?? n} places`} where more driving would tell most.`,
  },
  suspects: {
    none: "Without recordings no fault can be weighed.",
    lead: "Competing stories, weighed against each other; their probabilities add up to one.",
    heads: { story: "Story", probability: "Probability", words: "In words" },
    rest: (n: number, percent: string) => `${capital(inWords(n, "other story", "other stories"))}, ${percent} together.`,
    for: "Speaks for it",
    against: "Speaks against it",
    nothing: "nothing in these recordings",
    size: (name: string, text: string, interval: string) => `${name}: ${text} (90 % between ${interval}).`,
    between: (low: string, high: string) => `${low} and ${high}`,
    next: "Next test",
    tests: "Tests worth doing next",
    minutes: (n: number) => `about ${count(n, "minute")}`,
    span: (file: string, from: string, to: string) => `${file}, ${from} to ${to}`,
    evidenceCaption: (text: string, file: string) => `${text} (${file}).`,
    storyCaption: (title: string, curve: string) => `${title}: points are what was recorded${curve === "" ? "" : `, the line this story at ${curve}`}.`,
    healthyEntry: "Nothing asks to be repaired before the tables are corrected.",
  },
  corrections: {
    none: "No table was corrected: the recordings gave no ground for a change.",
    lead: "Whole tables, ready to be taken back as they are. Hatching says how little a cell is known; solid cells are sure.",
    stats: (changed: number, covered: number, meanPercent: string) =>
      `${count(changed, "cell")} changed, ${meanPercent} % on average; ${covered} covered by the recordings.`,
    profileCaption: (table: string, largest: string, where: string) =>
      `${table}: the largest change is ${largest}${where === "" ? "" : ` at ${where}`}. The band is the 90 % interval.`,
    profileCaptionPlain: (table: string, largest: string, where: string) => `${table}: the largest change is ${largest}${where === "" ? "" : ` at ${where}`}.`,
    fieldCaption: (sure: number, some: number, total: number) =>
      `The change proposed: ${sure} of ${count(total, "cell")} known within ±1 %, ${some} less surely, the rest not seen.`,
    fieldCaptionPlain: (cells: number, total: number) => `The change proposed, in ${cells} of ${count(total, "cell")}.`,
    beforeCaption: (table: string) => `${table} as received.`,
    afterCaption: (table: string) => `${table} as proposed, on the same scale.`,
    solidity: ["not seen", "over ±3 %", "±1 to 3 %", "within ±1 %"] as const,
    limited: "Held within limits",
    sheet: "Sheet",
    confidence: "Confidence",
    held: "Held back until repaired",
    heldLead: "What the correction would have been. It would bake a fault into the table, so repair first, record again, and let it be made anew.",
    heldBecause: (fault: string) => `Held because of this suspect: ${lower(fault)}.`,
    numbers: "Numbers",
    numbersNote: (unit: string) => `New value, and below it the change, in ${unit}. Cells without a second line are unchanged.`,
    numbersPart: (part: number, of: number) => `part ${part} of ${of}`,
  },
  pulls: {
    none: "No pull came with this vehicle.",
    lead: (n: number) => `${capital(inWords(n, "sweep"))} at full load. Power and torque are those at the rollers times the factor.`,
    heads: { file: "Sweep", standard: "Standard", factor: "Factor", power: "Peak power", torque: "Peak torque", at: "at" },
    caption: (power: string, torque: string, standard: string, ambient: string) => `Highest of the sweeps: ${power} and ${torque}; ${standard}${ambient}.`,
    ambient: (pressure: string, temperature: string, humidity: string, source: string) => `${pressure}, ${temperature}, ${humidity} % humidity (${source})`,
    smoothing: "Smoothing",
    ambientLabel: "Ambient",
    remarks: "How each sweep was reckoned",
    scatter: (percent: string) => `Peak power differs by ${percent} % between the sweeps.`,
    single: "single sweeps",
    middle: "mean of the sweeps",
    highest: "highest of the sweeps",
    one: "sweep",
    measured: "measured",
    commanded: "commanded",
    atRollers: "at the rollers",
    lambda: "Lambda",
    knock: "Knock retard",
    map: "Manifold absolute pressure",
    spark: "Spark advance",
    duty: "Injector duty",
    slip: "Converter slip",
    intakeAir: "Intake air",
    dutyLimit: "above 90 %: lift",
    slipLimit: "above 50 rpm: the clutch slips",
    difference: "Torque, difference",
    interval: "95 % interval",
    leanLimit: "leaner than target by 5 %: lift",
    knockLimit: "above 3°: lift",
    asMeasured: "As measured",
    beyondMark: "†",
    beyond: (why: string) => `† ${why}. Quote the figures as measured beside the corrected ones.`,
    flywheel: "At the flywheel, estimated",
    flywheelText: (power: string, torque: string, basis: string) => `${power} and ${torque}: ${basis}.`,
    ofAll: "All sweeps",
    repeats: "Repeatability",
    named: (name: string, sentence: string) => `${capital(name)}: ${sentence}`,
    received: "as received",
    revision: (number: number, name: string) => (name === "" ? `revision ${number}` : `revision ${number} (${name})`),
    gains: "What the change of calibration gave",
    gainsLead:
      "A difference is called real where its 95 % interval leaves zero out; the scatter from sweep to sweep sets the interval, and a drift that the sweeps share is taken out.",
    gainHeads: { from: "From", to: "To", measure: "Measure", difference: "Difference", interval: "95 % interval", verdict: "Verdict" },
    measures: { curve: "torque over the common speeds", "peak power": "peak power", "peak torque": "peak torque" },
    verdicts: { "real gain": "real gain", "real loss": "real loss", "not distinguishable": "scatter: not distinguishable" },
    gainCaption: (from: string, to: string, summary: string) => `${capital(to)} against ${from}. ${summary}`,
    interval95: (low: string, high: string) => `${low} to ${high}`,
    checklist: "The list before the pulls",
    checklistLead: (ticked: number, of: number) => `${ticked} of ${of} ticked. The facility's own rules come before this list.`,
    checklistHeads: { item: "Item", ticked: "Ticked", by: "By" },
    notTicked: "not ticked",
  },
  couldNot: {
    none: "Everything that the files allowed was done.",
    lead: "Left out, and what it lacked.",
    more: (n: number) => `and ${count(n, "line")} more of this kind`,
  },
  files: {
    lead: "Each file by its SHA-256, so that it can be told later whether it is still the same.",
    none: "No file hashes were kept for this report.",
    heads: { path: "File", bytes: "Bytes", hash: "SHA-256" },
    read: "Read",
    written: "Written",
  },
  owner: {
    lead: (complaint: string | undefined) =>
      complaint === undefined || complaint.trim() === ""
        ? "What was found, what was done, and what to watch."
        : `The visit was about this: “${complaint.trim()}” Here is what was found, what was done, and what to watch.`,
    found: "What we found",
    foundNothing: "We found nothing that worries us.",
    suspected: (words: string, owner: string) => `${owner} This is ${words}.`,
    calibration: (n: number) => `In the calibration as it came, ${inWords(n, "thing does", "things do")} not hold together:`,
    stopFirst: "Please do not drive hard before these are settled:",
    done: "What was done",
    doneNothing: "Nothing was changed in the vehicle's controller.",
    proposedLead: "New tables were worked out from the recordings. They take effect once they are written to the controller.",
    corrected: (table: string, percent: string) => `${table}: fitted to your engine, ${percent} % different on average.`,
    changed: (table: string, cells: number, purpose: string) => `${table}: ${count(cells, "value")} set anew${purpose === "" ? "" : `, ${purpose}`}.`,
    byHand: (reason: string) => `because of this: ${lower(reason)}`,
    purposes: {
      "air.ve": "so that the air that is reckoned is the air that the engine takes in",
      "air.meter-curve": "so that the air that is measured is the air that the engine takes in",
      "air.charge-temperature-blend": "so that heat in the intake is reckoned as it is",
      "fuel.injector-flow": "so that the injectors give the fuel that is asked for",
      "fuel.injector-dead-time": "so that the injectors give the fuel that is asked for at idle and light load",
      "fuel.full-load-ratio": "so that the mixture at full load protects the engine",
      "idle.base-airflow": "so that the idle gets the air that this engine needs",
      "idle.throttle-follower": "so that the engine comes down to idle without hanging or dipping",
      "spark.main": "so that the spark suits the engine as it is",
      "torque.spark-loss": "so that torque is taken away in a shift as it is asked for",
      "trans.shift-speed-up": "so that the gears change where they should",
    } as Readonly<Record<string, string>>,
    changedLead: (revision: string) => `The calibration was changed, in the state that is called revision ${revision}:`,
    fitted: (part: string, quality: string | undefined) => `Fitted: ${part}${quality === undefined ? "" : ` (${quality})`}.`,
    tested: (test: string, outcome: string) => `Tested: ${lower(test)}; ${outcome}.`,
    notDone: "What was not done, and why",
    heldBack: (tables: string, n: number, fault: string) => ({
      what: `${tables} ${n === 1 ? "was" : "were"} left as ${n === 1 ? "it is" : "they are"}`,
      why: `${lower(fault)}; that must be repaired first, or the ${n === 1 ? "table" : "tables"} would hide it`,
    }),
    notTaken: (tables: string) => ({
      what: `${tables} could be fitted better`,
      why: "the recordings ask for it, and it has not been taken over so far",
    }),
    parts: "Parts to repair or replace",
    partsNone: "None that we know of.",
    partsQuality: "original or original quality",
    partHeads: { part: "Part", why: "Why", act: "What to do", quality: "Quality of part" },
    because: (what: string, why: string) => `${capital(what)}: ${why}.`,
    power: "Power",
    powerCaption: (n: number) =>
      n === 1 ? "Power and torque over engine speed." : `Power and torque over engine speed; the shade is the range of the ${SMALL[n] ?? n} sweeps.`,
    powerText: (power: string, torque: string, standard: string, factor: string, ambient: string) =>
      `Measured at the driven wheels: ${power} and ${torque}, corrected by ${standard} (factor ${factor}${ambient === "" ? "" : `; ${ambient}`}). The engine itself gives more; tyres and driveline take the rest.`,
    powerBeyond: (power: string, torque: string) =>
      `The weather of that day lies outside what the standard covers. As measured, without correction: ${power} and ${torque}.`,
    powerGain: (to: string, from: string, summary: string) => `${capital(to)} against ${from}: ${lower(summary)}`,
    watch: "What to watch",
    watchAlways: [
      "A warning lamp, a new noise under load, a smell of fuel, or an idle that hunts: ease off and call us.",
      "After the battery has been off, the idle needs a few minutes of quiet running to settle.",
    ],
    fuel: "Fuel",
    fuelText: (fuel: string) =>
      `This calibration is for fuel with ${fuel}. Use the same or better, and have it written beside the filler; weaker fuel can damage the engine.`,
    noEthanol: "no ethanol in it",
    contact: "Whom to ask",
    legal: "Please read",
  },
  workshop: {
    changes: "Every change and its reason",
    changesNone: "No change was recorded.",
    heads: { table: "Table", what: "Change", reason: "Reason", by: "By" },
    proposed: (changed: number, percent: string) => `${count(changed, "cell")} changed, ${percent} % on average`,
    fromRecordings: "fitted to the recordings",
    heldReason: (fault: string) => `held back: ${lower(fault)}`,
    received: "As received against the factory",
    receivedHeads: { table: "Table", kind: "Kind", summary: "What was found" },
    findings: "Findings",
    findingHeads: { severity: "Severity", summary: "Finding", act: "Do" },
    suspects: "Suspects",
    sizeHead: "Size",
    signatures: "Signatures",
    signed: ["Calibrated by", "Checked by", "Date"] as readonly string[],
  },
};

export type Texts = typeof ENGLISH;

/** First letter large. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** First letter small, unless the word is an abbreviation. */
export function lower(text: string): string {
  return /^[A-Z]{2}/.test(text) ? text : text.charAt(0).toLowerCase() + text.slice(1);
}

/** A sentence: first letter large, a full stop where none stands. */
export function sentence(text: string): string {
  const trimmed = capital(text.trim());
  return trimmed === "" || /[.!?…]$/.test(trimmed) ? trimmed : `${trimmed}.`;
}
