/** Words of a vehicle that left and came back. */
export const ENGLISH_COMEBACK = {
  heading: "What moved since it left",
  lead: (job: string, on: string, tables: string, basis: "moved since" | "these recordings alone") =>
    `Held against how the vehicle left us on ${on} (${job}, ${tables}). ${
      basis === "moved since"
        ? "Suspects here speak for what moved since; what was odd then and stayed is not counted again."
        : "Its tables were changed since in a way that moves the residuals themselves, so suspects rest on the new recordings alone."
    }`,
  asReceived: "its tables as received",
  revision: (number: number) => `revision ${number}`,
  nothing: "Nothing moved further than a sound vehicle does between two visits.",
  figureTitle: "Movement since handover",
  caption: (moved: number, all: number, furthest: string) =>
    moved === 0
      ? `None of the ${all} figures moved further than a sound vehicle does between two visits.`
      : `${moved} of the ${all} figures moved further than a sound vehicle does between two visits; ${furthest} the furthest.`,
  axis: "Movement in spreads of a sound vehicle",
  ordinary: "ordinary",
  heads: { what: "Figure", atHandover: "When it left", onReturn: "Now", by: "Moved by", spreads: "In spreads" },
  suspects: "What the movement speaks for",
  suspectHeads: { fault: "Story", probability: "Probability", because: "Because" },
  tables: "Whose tables are in it",
  tablesOurs: (revision: string) => `Ours still: ${revision}, cell for cell.`,
  tablesReference: "The factory's again: every table equals the reference.",
  tablesUnknown: "Not known: what left with the vehicle or what came back is not there.",
  tablesStill: "Ours still, as far as they were read.",
  tablesChanged: (tables: number, changed: number, all: number) =>
    `Ours but for ${changed} of ${all} cells, in ${tables} ${tables === 1 ? "table" : "tables"}: another hand was at it since.`,
  tablesAnother: (changed: number, all: number) => `Another calibration, by a hand we do not know: ${changed} of ${all} cells differ from what left.`,
  tablesMissing: (names: string) => `Not read this time: ${names}.`,
  changedHeads: { table: "Table", cells: "Cells", summary: "What was done since" },
  conditions: "Another day, another tank",
  couldNot: "Could not be compared",
  left: "How it left",
  leftLead: (on: string, tables: string, residuals: number) =>
    `Kept on ${on} from the last drive on ${tables}: ${residuals} residuals by region of operation, and the figures below. A vehicle that comes back is held against them.`,
  leftHeads: { what: "Figure", value: "Value", scatter: "Scatter", spells: "Seen in" },
  spells: (n: number) => `${n} ${n === 1 ? "spell" : "spells"}`,
};
