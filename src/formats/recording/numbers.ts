/** Words that writers put where there is no sample. */
const MISSING = new Set([
  "",
  "-",
  "--",
  "---",
  "n/a",
  "na",
  "#n/a",
  "nan",
  "null",
  "none",
  "nil",
  "nodata",
  "no data",
  "?",
  "***",
  "*",
  "err",
  "error",
  "invalid",
  "#value!",
  "#ref!",
  "unavailable",
  "-nan",
  "+nan",
  "-nan(ind)",
  "1.#qnan",
  "1.#ind",
  "-1.#ind",
  "<null>",
  "\\n",
  "x",
]);
const INFINITE = /^[+-]?(inf|infinity|1\.#inf|∞)$/i;
const PLAIN = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

export function isMissing(text: string): boolean {
  return MISSING.has(text.toLowerCase());
}

export function isInfinite(text: string): boolean {
  return INFINITE.test(text);
}

/**
 * Number of a text, undefined when it is none. `decimal` is the mark that the column uses; the other mark, a blank or an
 * apostrophe counts as a thousands separator where it stands before groups of three.
 */
export function parseNumber(text: string, decimal: "." | ","): number | undefined {
  let plain = text.replace(/\s*%$/, "").replace(/^−/, "-");
  if (/[\s'’_]/.test(plain)) {
    if (!/^[+-]?\d{1,3}([\s'’_]\d{3})+([.,]\d+)?$/.test(plain)) return undefined;
    plain = plain.replace(/[\s'’_]/g, "");
  }
  const other = decimal === "." ? "," : ".";
  const groups = other === "," ? /^[+-]?[1-9]\d{0,2}(,\d{3})+(\.\d*)?$/ : /^[+-]?[1-9]\d{0,2}(\.\d{3})+(,\d*)?$/;
  if (plain.includes(other)) {
    if (groups.test(plain)) plain = plain.replaceAll(other, "");
    // A single foreign mark that cannot separate thousands is a decimal mark all the same: dots and commas mixed.
    else if (!plain.includes(decimal) && plain.indexOf(other) === plain.lastIndexOf(other)) plain = plain.replace(other, ".");
    else return undefined;
  }
  if (decimal === ",") plain = plain.replace(",", ".");
  return PLAIN.test(plain) ? Number(plain) : undefined;
}

const CLOCK = /^(\d{1,3}):([0-5]?\d)(?::([0-5]?\d|60))?(?:[.,:](\d{1,9}))?\s*([ap]m)?$/i;
const STAMP = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})[T\s_]+(.+?)(Z|[+-]\d{2}:?\d{2})?$/i;
const DAY_FIRST = /^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})[T\s_,]+(.+)$/;

/** Seconds of a clock text (hh:mm:ss.mmm, mm:ss.t, with or without a date before it), undefined when it is none. */
export function parseClock(text: string): number | undefined {
  const clock = CLOCK.exec(text);
  if (clock !== null) {
    const fraction = clock[4] === undefined ? 0 : Number(`0.${clock[4]}`);
    let first = Number(clock[1]);
    if (clock[3] === undefined) {
      // "12:34.5" counts minutes; "12:34" without a fraction too, recorders do not tick by the minute.
      return first * 60 + Number(clock[2]) + fraction;
    }
    if (clock[5] !== undefined) first = (first % 12) + (clock[5].toLowerCase() === "pm" ? 12 : 0);
    return first * 3600 + Number(clock[2]) * 60 + Number(clock[3]) + fraction;
  }
  const stamp = STAMP.exec(text);
  if (stamp !== null) {
    const inDay = parseClock(stamp[4]!.trim());
    return inDay === undefined ? undefined : Date.UTC(Number(stamp[1]), Number(stamp[2]) - 1, Number(stamp[3])) / 1000 + inDay;
  }
  const date = DAY_FIRST.exec(text);
  if (date !== null) {
    const inDay = parseClock(date[5]!.trim());
    const year = date[4]!.length === 2 ? 2000 + Number(date[4]) : Number(date[4]);
    // Day or month first makes no difference to seconds within one drive, unless it crosses midnight; 24 h steps are taken out later.
    const [day, month] = Number(date[3]) > 12 ? [Number(date[3]), Number(date[1])] : [Number(date[1]), Number(date[3])];
    return inDay === undefined ? undefined : Date.UTC(year, month - 1, day) / 1000 + inDay;
  }
  return undefined;
}
