import type { Table } from "../../tables/index.ts";
import type { CorrectionInput } from "../define.ts";
import { type InjectorSheet, impliedRatedFlowGps, matchInjectors, railOf, USUAL_RATED_KPA } from "./injector-sheet.ts";

/** Closer than this a data sheet may be that of these injectors; a runner-up must be so much farther to leave no doubt. */
const MAY_BE = 2;
const CLEARLY_FARTHER = 1.5;

/**
 * Which injectors the tables describe: the rated flow that they imply by the square-root law, and the data sheets that come near. Empty
 * without a rail pressure and its reference.
 */
export function namedInjectors(tables: { readonly flow: Table; readonly deadTime?: Table }, input: Pick<CorrectionInput, "intake" | "injectorSheets">): string {
  const rail = railOf(input.intake);
  if (rail === undefined) return "";
  const implied = `By the square-root law these numbers are an injector of ${impliedRatedFlowGps(tables.flow, rail).toFixed(2)} g/s at ${USUAL_RATED_KPA} kPa.`;
  const sheets = sheetsOf(input);
  if (sheets.length === 0) return `${implied} No data sheet is kept to tell which.`;
  const [best, second] = matchInjectors(tables, rail, sheets);
  if (best === undefined || best.distance > MAY_BE)
    return `${implied} ${sheets.length === 1 ? "The one sheet kept does not come near." : `None of the ${sheets.length} sheets kept comes near.`}`;
  const flow = `flow ${signed(best.flowPercent, 1)} %`;
  const by = best.deadTimeMs === undefined ? flow : `${flow}, dead time ${signed(best.deadTimeMs, 2)} ms`;
  const isAlone = second === undefined || second.distance > best.distance + CLEARLY_FARTHER;
  const doubt = isAlone ? "" : ` “${second.sheet.label}” comes nearly as near: read the marking on the body.`;
  return `${implied} They are nearest to the sheet of “${best.sheet.label}” (${by} against it).${doubt}`;
}

/** Sheets of the book, and the one that the intake gives. */
function sheetsOf({ intake, injectorSheets = [] }: Pick<CorrectionInput, "intake" | "injectorSheets">): readonly InjectorSheet[] {
  const { label, ratedFlowGps, ratedPressureKpa } = intake.injectors ?? {};
  if (ratedFlowGps === undefined || ratedPressureKpa === undefined) return injectorSheets;
  return [{ label: label ?? "the intake's", ratedFlowGps, ratedKpa: ratedPressureKpa }, ...injectorSheets.filter((sheet) => sheet.label !== label)];
}

function signed(value: number, digits: number): string {
  const text = Math.abs(value).toFixed(digits);
  return value < 0 ? `−${text}` : `+${text}`;
}
