import { useContext } from "react";
import type { AnalysisView } from "../../api/index.ts";
import type { Finding } from "../../core/result/index.ts";
import { UnitsContext } from "../state/units.ts";
import { Figure } from "../widgets/picture.tsx";
import { differenceOf, profileOf } from "../widgets/table-pictures.ts";
import { chainOf } from "./chains.ts";

/** Wide screens have room for the picture beside the words. */
const isWide = (): boolean => innerWidth >= 1700;

/** The picture of a finding: its chain where tables depend on one another, and the table it speaks of, before and after. */
export function FindingPicture({ finding, analysis }: { finding: Finding; analysis: AnalysisView }) {
  const { system } = useContext(UnitsContext);
  const widthPx = isWide() ? 820 : 560;
  const named = finding.tables.map((title) => analysis.tables.find((view) => view.title === title)).filter((view) => view !== undefined);
  const table = named.find((view) => view.x !== undefined && view.asReceived !== undefined);
  const chained = chainOf(finding.check, analysis.tables, system, isWide() ? 860 : 980);
  const id = `f-${finding.check.replace(/\W/g, "-")}-${table?.title.replace(/\W/g, "-") ?? ""}`;
  const compared = table && { before: table.reference ?? table.asReceived!, after: table.asReceived! };
  const isCompared = table?.reference !== undefined;
  const says = isCompared ? "dashed the factory's, solid in the controller now" : "in the controller now; there is no factory table beside it";
  const folded = compared && profileOf(table!, compared, `${table!.title}: ${says}.`, `${id}-p`, system, widthPx);
  const grid = isCompared ? differenceOf(table!, compared!, `${table!.title}, where it differs from the factory's.`, `${id}-d`, system, widthPx) : undefined;
  return (
    <>
      {chained !== undefined && <Figure picture={chained} />}
      {folded !== undefined &&
        (chained === undefined ? (
          <Figure picture={folded} />
        ) : (
          <details>
            <summary>{table!.title}, before and after</summary>
            <Figure picture={folded} />
          </details>
        ))}
      {grid !== undefined && (
        <details>
          <summary>Where it differs</summary>
          <Figure picture={grid} />
        </details>
      )}
    </>
  );
}
