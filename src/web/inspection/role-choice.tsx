import { useState } from "react";
import type { TableView } from "../../api/index.ts";
import { ROLES, type Role } from "../../core/tables/index.ts";
import { client, Refused } from "../state/client.ts";
import type { JobDesk } from "../state/job.ts";

const ALL = (Object.keys(ROLES) as Role[]).sort((a, b) => (ROLES[a].name < ROLES[b].name ? -1 : 1));

/** What a table was taken for; a wrong guess, or a wrong word in the sheet, is set right here. */
export function RoleChoice({ table, tables, desk }: { table: TableView; tables: readonly TableView[]; desk: JobDesk }) {
  const said = desk.job?.tableRoles ?? {};
  const isByHand = Object.hasOwn(said, table.title);
  const [problem, setProblem] = useState("");
  // Said beside the table: the page's own line for problems may be far above.
  const choose = async (role: string): Promise<void> => {
    try {
      await client.event(desk.slug, "table.named", { table: table.title, role });
      setProblem("");
      await desk.renew();
    } catch (error) {
      setProblem(error instanceof Refused ? `${error.message}. ${error.action}.` : String(error));
    }
  };
  const could = new Set(table.couldBe ?? []);
  const option = (role: Role) => {
    const owner = tables.find((other) => other.role === role && other !== table);
    return (
      <option key={role} value={role}>
        {ROLES[role].name}
        {owner === undefined ? "" : `, now “${owner.title}”`}
      </option>
    );
  };
  return (
    <>
      <select aria-label={`What "${table.title}" is`} value={table.role ?? "none"} onChange={(event) => void choose(event.target.value)}>
        <optgroup label="Its size and units fit">{ALL.filter((role) => could.has(role) || role === table.role).map(option)}</optgroup>
        <option value="none">None of these</option>
        {isByHand && <option value="as-read">As the sheet has it</option>}
        <optgroup label="Its size or units do not fit">{ALL.filter((role) => !could.has(role) && role !== table.role).map(option)}</optgroup>
      </select>
      {problem !== "" && (
        <p className="problem" role="alert">
          {problem}
        </p>
      )}
      <span className="role-from">{isByHand ? "chosen by hand" : table.isGuessed === true ? "guessed" : ""}</span>
    </>
  );
}
