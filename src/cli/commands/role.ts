import type { Command } from "commander";
import { describeRole, ROLES, type Role } from "../../core/tables/index.ts";
import { nameTable } from "../../desk/index.ts";
import { entered, enteringCommand } from "../book-command.ts";
import { oneOf } from "../parse.ts";

export function addRole(program: Command): void {
  enteringCommand(
    program,
    {
      usage: "role <job> <table> <role>",
      about: "Say which role a table of the calibration has, where it was taken for the wrong one or for none",
      args: {
        job: "short name of the job",
        table: "title or role of the table, or an unmistakable part of it",
        role: 'id of the role (docs/packet.md), "none" where it is none of them, "as-read" to take back what was said',
      },
      examples: [
        'fettle role wagon-rough-idle "Filling B" air.ve --why "the other one is for the cold engine"',
        'fettle role wagon-rough-idle "Spare curve" none',
        'fettle role wagon-rough-idle "Filling B" as-read',
      ],
      notes:
        "Size and units must fit the role. It then holds for the sheets of that title as received and from the factory. One role belongs to one table: another that had it is left without.",
    },
    ({ book, args: [job, table, wanted], options }) => {
      const role = oneOf(wanted!, [...(Object.keys(ROLES) as Role[]), "none" as const, "as-read" as const], "role");
      const { title, without } = nameTable(book, job!, table!, role, options.why);
      const left = without === undefined ? "" : ` "${without}" no longer is.`;
      if (role === "as-read") return entered(`"${title}" is what its sheet says, or what its title and units show.`);
      return entered(`"${title}" is ${role === "none" ? "no table known here" : `${describeRole(role).name} (${role})`}.${left}`);
    },
  );
}
