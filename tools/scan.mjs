// A small scanner for TypeScript text: enough of the language to tell code from comments, strings, templates and
// regular expressions, so that imports are found where they are and not where a comment or a string speaks of one.
// (The native TypeScript compiler offers no interface for this.)

/**
 * @typedef {{ kind: "word" | "string" | "template" | "punctuation" | "number" | "regex", text: string, line: number }} Token
 * @typedef {{ specifier: string, line: number, isTypeOnly: boolean }} Import
 */

/** After these words a slash begins a regular expression; after any other word or a closing bracket it divides. */
const WORDS_BEFORE_AN_EXPRESSION = new Set(
  "return typeof instanceof in of new delete void throw case do else yield await default extends".split(" "),
);

const isWordStart = (/** @type {string} */ c) => /[\p{L}_$#@]/u.test(c);
const isWordPart = (/** @type {string} */ c) => /[\p{L}\p{N}_$]/u.test(c);

/** Whether a slash after this token begins a regular expression.
 * @param {Token | undefined} before
 */
function beginsExpression(before) {
  if (before === undefined) return true;
  if (before.kind === "word") return WORDS_BEFORE_AN_EXPRESSION.has(before.text);
  return before.kind === "punctuation" && !/^[)\]}]$/.test(before.text);
}

/** Index behind a string that opens at `start`.
 * @param {string} source
 * @param {number} start
 */
function endOfString(source, start) {
  const quote = source[start];
  let i = start + 1;
  while (i < source.length && source[i] !== quote && source[i] !== "\n") i += source[i] === "\\" ? 2 : 1;
  return i + 1;
}

/** Index behind a regular expression that opens at `start`, flags included.
 * @param {string} source
 * @param {number} start
 */
function endOfRegex(source, start) {
  let inClass = false;
  let i = start + 1;
  for (; i < source.length && source[i] !== "\n"; i++) {
    if (source[i] === "\\") i++;
    else if (source[i] === "[") inClass = true;
    else if (source[i] === "]") inClass = false;
    else if (source[i] === "/" && !inClass) break;
  }
  i++;
  while (i < source.length && /[a-z]/.test(source[i] ?? "")) i++;
  return i;
}

/**
 * The tokens of a source text. Code inside `${…}` of a template is scanned too.
 * @param {string} source
 * @returns {Token[]}
 */
export function tokens(source) {
  /** @type {Token[]} */
  const found = [];
  /** Depth of braces at which each open template goes on. @type {number[]} */
  const templates = [];
  let braces = 0;
  let line = 1;
  let i = 0;

  /** @param {Token["kind"]} kind @param {number} end */
  const take = (kind, end) => {
    const text = source.slice(i, end);
    found.push({ kind, text, line });
    line += text.split("\n").length - 1;
    i = end;
  };
  /** Index of the end of a template's text part: behind the closing backtick or behind "${". @param {number} from */
  const endOfTemplatePart = (from) => {
    let at = from;
    for (; at < source.length; at++) {
      if (source[at] === "\\") at++;
      else if (source[at] === "`") return { end: at + 1, goesOn: false };
      else if (source[at] === "$" && source[at + 1] === "{") return { end: at + 2, goesOn: true };
    }
    return { end: at, goesOn: false };
  };
  /** @param {number} from */
  const takeTemplatePart = (from) => {
    const { end, goesOn } = endOfTemplatePart(from);
    take("template", end);
    if (goesOn) templates.push(braces);
  };

  while (i < source.length) {
    const c = /** @type {string} */ (source[i]);
    if (c === "\n") {
      line++;
      i++;
    } else if (/\s/.test(c)) i++;
    else if (source.startsWith("//", i) || (i === 0 && source.startsWith("#!"))) {
      const end = source.indexOf("\n", i);
      i = end < 0 ? source.length : end;
    } else if (source.startsWith("/*", i)) {
      const end = source.indexOf("*/", i + 2);
      const behind = end < 0 ? source.length : end + 2;
      line += source.slice(i, behind).split("\n").length - 1;
      i = behind;
    } else if (c === '"' || c === "'") take("string", endOfString(source, i));
    else if (c === "`") takeTemplatePart(i + 1);
    else if (c === "}" && templates.at(-1) === braces) {
      templates.pop();
      takeTemplatePart(i + 1);
    } else if (c === "/" && beginsExpression(found.at(-1))) take("regex", endOfRegex(source, i));
    else if (isWordStart(c)) {
      let end = i + 1;
      while (end < source.length && isWordPart(source[end] ?? "")) end++;
      take("word", end);
    } else if (/[0-9]/.test(c)) {
      let end = i + 1;
      while (end < source.length && /[\w.]/.test(source[end] ?? "")) end++;
      take("number", end);
    } else {
      if (c === "{") braces++;
      if (c === "}") braces--;
      take("punctuation", i + 1);
    }
  }
  return found;
}

/** @param {Token | undefined} token */
function unquoted(token) {
  return token?.kind === "string" ? token.text.slice(1, -1) : undefined;
}

/**
 * Index of the module name of `import … from "x"` or `export … from "x"` whose clause begins at `start`; -1 where the
 * statement names no module.
 * @param {Token[]} list
 * @param {number} start
 */
function moduleNameAt(list, start) {
  let depth = 0;
  for (let i = start; i < list.length; i++) {
    const { kind, text } = /** @type {Token} */ (list[i]);
    if (kind === "word" && text === "from" && depth === 0 && list[i + 1]?.kind === "string") return i + 1;
    if (text === "{") depth++;
    else if (text === "}") depth--;
    const belongsToClause =
      (kind === "word" && text !== "import" && text !== "export") ||
      /^[{},*]$/.test(text) ||
      (kind === "string" && depth > 0);
    if (!belongsToClause) return -1;
  }
  return -1;
}

/**
 * Every import of a source text: static, re-exporting, for types only, for effects only, and `import("…")`.
 * @param {string} source
 * @returns {{ imports: Import[], computed: number[] }} `computed`: lines with an `import(…)` of something not written out
 */
export function scanImports(source) {
  const list = tokens(source);
  /** @type {Import[]} */
  const imports = [];
  /** @type {number[]} */
  const computed = [];
  list.forEach((token, i) => {
    if (token.kind !== "word" || list[i - 1]?.text === ".") return;
    const next = list[i + 1];
    const isTypeOnly = next?.text === "type";
    if (token.text === "import" && next?.text === "(") {
      const specifier = unquoted(list[i + 2]);
      if (specifier === undefined) computed.push(token.line);
      else imports.push({ specifier, line: token.line, isTypeOnly: false });
    } else if (token.text === "import" && next?.kind === "string") {
      imports.push({ specifier: unquoted(next) ?? "", line: token.line, isTypeOnly: false });
    } else if (token.text === "import" || (token.text === "export" && /^(\{|\*|type)$/.test(next?.text ?? ""))) {
      const specifier = unquoted(list[moduleNameAt(list, i + 1)]);
      if (specifier !== undefined) imports.push({ specifier, line: token.line, isTypeOnly });
    }
  });
  return { imports, computed };
}

/** Word and sign sequences that reach for the clock or for unseeded chance. */
const IMPURE = [
  { words: ["Date", ".", "now"], name: "Date.now" },
  { words: ["Math", ".", "random"], name: "Math.random" },
  { words: ["new", "Date", "(", ")"], name: "new Date()" },
  { words: ["new", "Date", ";"], name: "new Date" },
];

/**
 * Where a source text asks the clock or draws unseeded random numbers.
 * @param {string} source
 */
export function scanImpure(source) {
  const list = tokens(source);
  return list.flatMap((token, i) =>
    IMPURE.filter(({ words }) => words.every((word, k) => list[i + k]?.text === word)).map(({ name }) => ({
      name,
      line: token.line,
    })),
  );
}

/** Name of the function by which the text defines a member of a family (`export default defineCheck({ … })`).
 * @param {string} source
 * @returns {string | undefined} undefined for a text that defines none
 */
export function definedBy(source) {
  const list = tokens(source);
  return list.find(
    ({ text }, i) => /^define[A-Z]/.test(text) && list[i - 1]?.text === "default" && list[i - 2]?.text === "export",
  )?.text;
}

/** @param {string} source */
export function isMember(source) {
  return definedBy(source) !== undefined;
}
