import type { AnalysisView } from "../../api/index.ts";
import type { Edit } from "../../core/result/index.ts";
import type { JobDesk } from "../state/job.ts";
import { hrefOf } from "../state/route.ts";
import { useUnits } from "../state/units.ts";
import { RoleChoice } from "./role-choice.tsx";

/** Every table of the calibration, what it was taken for, what was done to it, and what the recordings ask of it; each opens with its numbers. */
export function AllTables({ analysis, desk }: { analysis: AnalysisView; desk: JobDesk }) {
  const shown = useUnits();
  const edits = new Map(analysis.result.edits.map((edit): readonly [string, Edit] => [edit.table, edit]));
  return (
    <table className="all-tables">
      <thead>
        <tr>
          <th scope="col">Table</th>
          <th scope="col">Taken for</th>
          <th scope="col">Size</th>
          <th scope="col">Unit</th>
          <th scope="col">Against the factory's</th>
          <th scope="col">The recordings ask</th>
        </tr>
      </thead>
      <tbody>
        {analysis.tables.map((table) => {
          const edit = edits.get(table.title);
          const isChanged = edit !== undefined && edit.kind !== "unchanged";
          const size = table.x === undefined ? "1" : table.y === undefined ? `${table.x.values.length}` : `${table.y.values.length} × ${table.x.values.length}`;
          return (
            <tr key={table.title} data-changed={isChanged}>
              <th scope="row">
                <a href={hrefOf(desk.slug, "change-sheet", { role: table.role ?? table.title })}>{table.title}</a>
              </th>
              <td>
                <RoleChoice table={table} tables={analysis.tables} desk={desk} />
              </td>
              <td className="figure">{size}</td>
              <td>{shown(table.unit).unit}</td>
              <td>{table.reference === undefined ? "no factory table" : isChanged ? edit.summary : "unchanged"}</td>
              <td>{table.heldBecause !== undefined ? "held until the repair" : table.proposed === undefined ? "" : "a correction"}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
