import { useMemo, useState } from "react";
import type { TableView } from "../../api/index.ts";
import { extent, type Picture, profile } from "../../drawing/index.ts";
import { useUnits } from "../state/units.ts";
import { Figure } from "../widgets/picture.tsx";
import { differenceOf, profileOf } from "../widgets/table-pictures.ts";
import { NINE_OF_TEN, SOLIDITY_WORDS, solidityOf } from "./cell-states.ts";
import { ReliefView } from "./relief-view.tsx";
import { changeOf, midSentence, type SheetTable } from "./sheet-table.ts";
import { isWideScreen } from "./wide-screen.ts";

const VIEWS = [
  ["lines", "Lines"],
  ["change", "Change"],
  ["shape", "Shape"],
] as const;
type View = (typeof VIEWS)[number][0];

/** The table in pictures, one at a time: folded into lines, the change cell by cell, its shape before and after. */
export function SheetPictures({ table, sheet, drawn, isAsked }: { table: TableView; sheet: SheetTable; drawn: Float64Array; isAsked: boolean }) {
  const isGrid = sheet.y !== undefined;
  // A curve's change is small beside its reach: the change is what tells. A grid folds into lines first.
  const [view, setView] = useState<View>(isGrid ? "lines" : "change");
  const units = useUnits();
  const widthPx = isWideScreen() ? 960 : 700;
  const goes = isAsked ? "what the recordings ask for" : "what goes into the next revision";
  const picture = useMemo((): Picture | undefined => {
    // Pictures are drawn from canonical cells; the sheet holds them as shown.
    const back = (cells: Float64Array): number[] => Array.from(cells, sheet.value.read);
    const compared = { before: back(sheet.base), after: back(drawn), deviation: table.deviation };
    if (view === "lines") return profileOf(table, compared, `Dashed as it is, solid ${goes}; the band holds nine cases of ten.`, "sheet-lines", units, widthPx);
    if (view === "change" && isGrid) {
      const isFitted = sheet.asked !== undefined;
      const solidity = isFitted
        ? { solidity: drawn.map((value, i) => solidityOf(value, sheet.deviation?.[i] ?? Number.NaN, sheet.samples?.[i] ?? 1)), solidityWords: SOLIDITY_WORDS }
        : {};
      return differenceOf(table, compared, `${capital(goes)}, cell by cell; the more solid, the surer.`, "sheet-change", units, widthPx, {
        ...solidity,
        heightPx: 400,
      });
    }
    return view === "change" ? changeAlong(sheet, drawn, table, goes, widthPx) : undefined;
  }, [table, sheet, drawn, view, isGrid, goes, units, widthPx]);
  if (table.x === undefined) return null;
  return (
    <div className="sheet-pictures">
      <div className="segments" role="radiogroup" aria-label="Picture of the table">
        {VIEWS.filter(([id]) => id !== "shape" || isGrid).map(([id, name]) => (
          <label key={id}>
            <input type="radio" name="picture" checked={view === id} onChange={() => setView(id)} />
            <span>{name}</span>
          </label>
        ))}
      </div>
      {view === "shape" ? (
        <Shapes table={table} sheet={sheet} drawn={drawn} after={isAsked ? "As asked for" : "As it goes out"} />
      ) : (
        picture !== undefined && <Figure picture={picture} />
      )}
    </div>
  );
}

/** The change of a curve in percent along its axis, with the interval about it. */
function changeAlong(sheet: SheetTable, drawn: Float64Array, table: TableView, goes: string, widthPx: number): Picture {
  const isPercent = sheet.base.every((value) => Math.abs(value) > 1e-9);
  const part = (value: number, i: number): number => (isPercent ? 100 * (value / sheet.base[i]! - 1) : value - sheet.base[i]!);
  const after = drawn.map(part);
  const half = sheet.deviation?.map((sd, i) => Math.abs(NINE_OF_TEN * (isPercent ? (100 * sd) / sheet.base[i]! : sd)));
  const changed = Array.from(after).filter((value) => Math.abs(value) > 1e-9);
  const range = extent(changed);
  const unit = isPercent ? "%" : sheet.value.unit;
  const reach = range === undefined ? "No cell changes." : `By ${signed(range[0])} to ${signed(range[1])} ${unit}: ${goes}; the band holds nine cases of ten.`;
  const band = half === undefined ? {} : { low: after.map((value, i) => value - half[i]!), high: after.map((value, i) => value + half[i]!) };
  return profile({
    id: "sheet-change",
    title: `${sheet.title}, change`,
    caption: reach,
    widthPx,
    heightPx: 300,
    x: { name: table.x!.name, unit: sheet.xUnit, values: sheet.x },
    y: { name: `Change of ${midSentence(sheet.title)}`, unit },
    lines: [{ label: "", before: after.map(() => 0), after, ...band }],
  });
}

function Shapes({ table, sheet, drawn, after }: { table: TableView; sheet: SheetTable; drawn: Float64Array; after: string }) {
  const common = {
    x: { name: table.x!.name, unit: sheet.xUnit, values: sheet.x },
    y: { name: table.y!.name, unit: sheet.yUnit, values: sheet.y! },
  };
  const value = { name: sheet.title, unit: sheet.value.unit };
  const change = drawn.map((cell, i) => changeOf(sheet.base[i]!, cell) ?? 0);
  return (
    <ReliefView
      surfaces={[
        { id: "relief-before", name: "As it is", title: `${sheet.title} as it is`, cells: sheet.base, value, ...common },
        { id: "relief-after", name: after, title: `${sheet.title}, ${after.toLowerCase()}`, cells: drawn, value, ...common },
        { id: "relief-change", name: "Change", title: `${sheet.title}, change`, cells: change, value: { ...value, unit: "%" }, mode: "difference", ...common },
      ]}
    />
  );
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function signed(value: number): string {
  return `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)}`;
}
