// The reference pages, made from what the members of the built program say about themselves.
import { list, number, page, sources, table } from "./markdown.mjs";

/**
 * @typedef {import("../src/core/checks/define.ts").Check} Check
 * @typedef {import("../src/core/checks/define.ts").CheckExample} CheckExample
 * @typedef {import("../src/core/corrections/define.ts").CorrectionDefinition} Correction
 * @typedef {import("../src/core/faults/define.ts").Fault} Fault
 * @typedef {import("../src/core/faults/workshop-tests/define.ts").WorkshopTest} WorkshopTest
 * @typedef {import("../src/core/moments/index.ts").MomentDefinition} Moment
 * @typedef {import("../src/core/pulls/index.ts").PowerStandard} PowerStandard
 * @typedef {import("../src/core/tables/index.ts").Table} Table
 * @typedef {import("../src/core/units/index.ts").SignalDescription} SignalDescription
 * @typedef {{ path: string, content: string }} Page  path below the checkout
 */

/** @param {readonly string[]} ids */
function codes(ids) {
  return ids.length === 0 ? "–" : ids.map((id) => `\`${id}\``).join(", ");
}

/** @param {string} id */
function familyOf(id) {
  return id.split(".")[0] ?? id;
}

/** @template {{ id: string }} T
 * @param {readonly T[]} members
 * @param {(member: T) => (string | number)[]} row
 * @param {string[]} heads
 */
function byFamily(members, heads, row) {
  const families = [...new Set(members.map(({ id }) => familyOf(id)))].sort();
  return families.map(
    (family) => `## ${family}\n\n${table(heads, members.filter(({ id }) => familyOf(id) === family).map(row))}`,
  );
}

/** @param {Table} sheet */
function tableOfCells(sheet) {
  const title = `${sheet.role === undefined || sheet.role === sheet.title ? "" : `${sheet.title}, `}\`${sheet.role ?? sheet.title}\` [${sheet.unit}]`;
  const values = [...sheet.cells].map(number);
  const { x, y } = sheet;
  if (x === undefined) return `${title}: ${values.join(", ")}`;
  const heads = [y === undefined ? "" : y.unit, ...[...x.values].map((value) => `${number(value)} ${x.unit}`.trim())];
  const columns = x.values.length;
  const rows =
    y === undefined
      ? [["", ...values]]
      : [...y.values].map((at, row) => [number(at), ...values.slice(row * columns, (row + 1) * columns)]);
  return `${title}\n\n${table(heads, rows)}`;
}

/** Examples with larger tables are run by the tests, but would not be read on a page. */
const MOST_CELLS_SHOWN = 60;

/** @param {CheckExample} example @param {number} index */
function exampleOf(example, index) {
  const show = (/** @type {readonly Table[]} */ tables) =>
    tables
      .map((each) =>
        each.cells.length <= MOST_CELLS_SHOWN
          ? tableOfCells(each)
          : `\`${each.role ?? each.title}\` [${each.unit}]: ${each.cells.length} cells`,
      )
      .join("\n\n");
  return [
    `${index + 1}. ${example.title ?? "Tables as below"}`,
    show(example.tables),
    example.reference && example.reference.length > 0 ? `Reference:\n\n${show(example.reference)}` : "",
    example.intake ? `Intake: \`${JSON.stringify(example.intake)}\`` : "",
  ]
    .filter(Boolean)
    .join("\n\n");
}

/** @param {readonly Check[]} checks
 * @returns {Page[]}
 */
export function checkPages(checks) {
  const pages = checks.map((check) => ({
    path: `docs/checks/${check.id}.md`,
    content: page(
      `# ${check.title}`,
      `\`${check.id}\`, severity \`${check.severity}\``,
      check.severityRule && `When another: ${check.severityRule}`,
      `**Why.** ${check.why}`,
      `**What to do.** ${check.do}`,
      `**Needs.** ${codes(check.needs)}${check.needsReference?.length ? `; in the reference ${codes(check.needsReference)}` : ""}`,
      check.examples.fires.length > 0 && `## Fires on\n\n${check.examples.fires.map(exampleOf).join("\n\n")}`,
      check.examples.silent.length > 0 && `## Silent on\n\n${check.examples.silent.map(exampleOf).join("\n\n")}`,
      `Sources: ${sources(check.sources, "../")}`,
    ),
  }));
  const index = page(
    "# Checks",
    "Where a calibration contradicts itself, the fuel, the hardware or the recordings. A check whose tables are missing is " +
      "not silent: a line under *could not* says so.",
    ...byFamily(checks, ["check", "what is found", "severity"], (check) => [
      `[\`${check.id}\`](${check.id}.md)`,
      check.title,
      check.severity,
    ]),
  );
  return [{ path: "docs/checks/index.md", content: index }, ...pages];
}

/** @param {Fault} fault @param {readonly WorkshopTest[]} tests */
function faultPage(fault, tests) {
  const size = fault.story?.size;
  const own = fault.tests.map((id) => tests.find((test) => test.id === id)).filter((test) => test !== undefined);
  return page(
    `# ${fault.title}`,
    `\`${fault.id}\``,
    fault.what,
    `**What it does to recordings.** ${fault.moves}`,
    size && `**Size.** ${size.name}, ${number(size.low)} to ${number(size.high)} ${size.unit}`,
    `**Cost of ignoring it.** ${fault.cost}`,
    fault.neighbours.length > 0 &&
      `## Telling it from its neighbours\n\n${list(
        fault.neighbours.map(({ fault: other, tell }) => `[\`${other}\`](${other}.md): ${tell}`),
      )}`,
    own.length > 0 &&
      `## What to test\n\n${table(
        ["test", "minutes", "how"],
        own.map((test) => [`[${test.title}](../workshop-tests.md#${test.id})`, test.minutes, test.how]),
      )}`,
    fault.record && `**What to record while it is in doubt.** ${fault.record}.`,
    fault.poisons.length > 0 &&
      `Corrections it would poison, held back until it is put right: ${codes(fault.poisons)}.`,
    `Signals needed: ${codes(fault.needs)}. How common, against the others: ${number(fault.prior)}.`,
    `Sources: ${sources(fault.sources, "../")}`,
  );
}

/** @param {readonly Fault[]} faults @param {readonly WorkshopTest[]} tests
 * @returns {Page[]}
 */
export function faultPages(faults, tests) {
  const index = page(
    "# Faults",
    "The stories that compete to explain a recording. One inference compares them all and gives probabilities that sum to one; " +
      "how, is in [how it thinks](../how-it-thinks.md), section 5. The tests that tell them apart: [workshop tests](../workshop-tests.md).",
    ...byFamily(faults, ["fault", "what is wrong", "how common"], (fault) => [
      `[\`${fault.id}\`](${fault.id}.md)`,
      fault.title,
      number(fault.prior),
    ]),
  );
  return [
    { path: "docs/faults/index.md", content: index },
    ...faults.map((fault) => ({ path: `docs/faults/${fault.id}.md`, content: faultPage(fault, tests) })),
  ];
}

/** @param {WorkshopTest} test */
function workshopTest(test) {
  const percent = (/** @type {number | undefined} */ share) => `${number(100 * (share ?? 0))} %`;
  const rows = Object.entries(test.under).map(([fault, row]) => [
    `[\`${fault}\`](faults/${fault}.md)`,
    ...test.outcomes.map((outcome) => percent(row?.[outcome])),
  ]);
  return [
    `<a id="${test.id}"></a>`,
    `## ${test.title}`,
    `About ${test.minutes} min. ${test.how}`,
    test.cautions.length > 0 ? `Cautions:\n\n${list(test.cautions)}` : "",
    table(
      ["if this is wrong", ...test.outcomes],
      [...rows, ["anything else", ...test.outcomes.map((outcome) => percent(test.otherwise[outcome]))]],
    ),
    `Sources: ${sources(test.sources, "")}`,
  ]
    .filter(Boolean)
    .join("\n\n");
}

/** @param {readonly WorkshopTest[]} tests
 * @returns {Page[]}
 */
export function workshopTestPage(tests) {
  const sorted = [...tests].sort((a, b) => (a.id < b.id ? -1 : 1));
  const content = page(
    "# Workshop tests",
    "How likely each outcome is under each fault. The next test proposed is the one expected to tell most per minute of work. " +
      "The instructions of the vehicle's and the equipment's makers, and local codes, come first.",
    ...sorted.map(workshopTest),
  );
  return [{ path: "docs/workshop-tests.md", content }];
}

/** @param {readonly Correction[]} corrections
 * @returns {Page[]}
 */
export function correctionPage(corrections) {
  const one = (/** @type {Correction} */ each) =>
    [
      `## ${each.title}`,
      `\`${each.id}\`, writes \`${each.writes}\``,
      each.why,
      `**Needs.** Tables ${codes(each.needs)}; recordings: ${each.observationsNeeded}`,
      each.heldBy.length > 0 &&
        `**Held back by** ${each.heldBy.map((fault) => `[\`${fault}\`](faults/${fault}.md)`).join(", ")}`,
      `**Limits.** ${[
        Number.isFinite(each.largestStep) ? `largest step ${number(100 * each.largestStep)} %` : "no largest step",
        ...(each.monotone ? [`kept ${each.monotone}`] : []),
      ].join("; ")}`,
      `Sources: ${sources(each.sources, "")}`,
    ]
      .filter(Boolean)
      .join("\n\n");
  const content = page(
    "# Corrections",
    "Which change of a table removes what no fault explains. How they are fitted is in [how it thinks](how-it-thinks.md), section 6. " +
      "Each is a proposal: a person decides, comes up in steps and looks at the next recording.",
    ...corrections.map(one),
  );
  return [{ path: "docs/corrections.md", content }];
}

/** @param {readonly Moment[]} moments
 * @returns {Page[]}
 */
export function momentPage(moments) {
  const rows = moments.map((each) => [
    each.title,
    `\`${each.kind}\``,
    each.how,
    codes(each.needs),
    `${each.shortestS} s`,
  ]);
  const content = page(
    "# Moments",
    "Labelled spans of a recording. They may overlap.",
    table(["moment", "id", "how it is recognised", "needs", "shortest"], rows),
  );
  return [{ path: "docs/moments.md", content }];
}

/** @param {readonly PowerStandard[]} standards
 * @returns {Page[]}
 */
export function standardPage(standards) {
  const one = (/** @type {PowerStandard} */ each) =>
    [
      `## ${each.name}`,
      `\`${each.id}\`: ${each.title}`,
      table(
        ["", ""],
        [
          ["refers to", each.reference],
          ["limits", each.limits],
          ["boosted engines", each.boosted],
        ],
      ),
      `Sources: ${sources(each.sources, "")}`,
    ].join("\n\n");
  const content = page(
    "# Power standards",
    "By which figures from the roller are referred to another ambient. Standard, factor and ambient are printed with every figure.",
    ...standards.map(one),
  );
  return [{ path: "docs/power-standards.md", content }];
}

/**
 * @param {Readonly<Record<string, SignalDescription>>} signals
 * @param {Readonly<Record<string, string>>} words  spellings by concept, parted by blanks
 * @returns {Page[]}
 */
export function signalPage(signals, words) {
  const signalRows = Object.entries(signals).map(([id, each]) => [
    `\`${id}\``,
    each.name,
    each.unit,
    each.j1930 ?? "",
    `${number(each.plausible[0])} to ${number(each.plausible[1])}`,
  ]);
  const wordRows = Object.entries(words)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([concept, spellings]) => [
      concept,
      spellings
        .split(" ")
        .join(", ")
        .replace(/\+(?=.)/g, " "),
    ]);
  const content = page(
    "# Signals",
    "What a recording may hold. A column is recognised by the words of its name in any order and spelling (abbreviations of SAE " +
      "J1930 and plain names), by its unit, and by whether its values are believable. What is not recognised is kept and listed.",
    table(["signal", "name", "unit inside", "SAE J1930", "believable"], signalRows),
    "## Words",
    "Words and phrases that mean the same, whatever their case. A name is cut into words; what they mean together decides.",
    table(["means", "spelt"], wordRows),
  );
  return [{ path: "docs/formats/signals.md", content }];
}

/**
 * @param {readonly import("../src/core/units/index.ts").Unit[]} units
 * @returns {Page[]}
 */
export function unitPage(units) {
  const quantities = [...new Set(units.map((unit) => unit.quantity))].sort();
  const symbolsOf = (/** @type {string} */ quantity) =>
    units.filter((unit) => unit.quantity === quantity).map((unit) => unit.symbol);
  const content = page(
    "# Units",
    "Units that are understood in headers, unit rows and table sheets; blanks and degree signs do not matter, and case only " +
      "where it must. A gauge pressure needs the barometer to become absolute.",
    table(
      ["quantity", "units"],
      quantities.map((quantity) => [quantity, [...new Set(symbolsOf(quantity))].join(", ")]),
    ),
  );
  return [{ path: "docs/formats/units.md", content }];
}

/**
 * @param {readonly { name: string, help: string }[]} commands  the program itself first
 * @returns {Page[]}
 */
export function commandPage(commands) {
  const content = page(
    "# Commands",
    "What `--help` says, for each command. In a checkout the program is `bin/fettle`.",
    ...commands.map(({ name, help }) => `## ${name}\n\n\`\`\`\n${help.trimEnd()}\n\`\`\``),
  );
  return [{ path: "docs/commands.md", content }];
}
