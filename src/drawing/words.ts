/** The few words that pictures write themselves; a report in another language hands over its own. */
export interface DrawingWords {
  readonly before: string;
  readonly after: string;
  readonly unchanged: string;
  readonly notSeen: string;
  readonly against: (y: string, x: string) => string;
  readonly from: (low: string, high: string) => string;
  readonly orMore: string;
  readonly broken: string;
  readonly interval: string;
  readonly changeOf: (name: string) => string;
  readonly noData: string;
  readonly seconds: string;
  readonly minutes: string;
  readonly minutesSeconds: string;
  readonly timeInRecording: string;
  readonly points: (count: number) => string;
  readonly range: string;
  readonly peak: (value: string, at: string) => string;
  readonly dwell: string;
  readonly goHere: string;
  readonly power: string;
  readonly torque: string;
}

export const ENGLISH_DRAWING_WORDS: DrawingWords = {
  before: "before",
  after: "after",
  unchanged: "unchanged",
  notSeen: "not seen",
  against: (y, x) => `${y} over ${x.charAt(0).toLowerCase()}${x.slice(1)}`,
  from: (low, high) => `from ${low} to ${high}`,
  orMore: "or more",
  broken: "broken here",
  interval: "90 % interval",
  // An abbreviation keeps its capitals within the sentence.
  changeOf: (name) => `change of ${/^[A-Z][a-z]/.test(name) ? name.charAt(0).toLowerCase() + name.slice(1) : name}`,
  noData: "nothing to draw",
  seconds: "s",
  minutes: "min",
  minutesSeconds: "min:s",
  timeInRecording: "Time in the recording",
  points: (count) => `${count} points`,
  range: "range of the sweeps",
  peak: (value, at) => `${value} at ${at}`,
  dwell: "time spent",
  goHere: "visit next",
  power: "Power",
  torque: "Torque",
};
