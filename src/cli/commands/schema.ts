import type { Command } from "commander";
import { resultJsonSchema } from "../../api/index.ts";
import { answering, describe } from "../book-command.ts";

export function addSchema(program: Command): void {
  const command = describe(program, {
    usage: "schema",
    about: "Print the JSON Schema of result.json",
    examples: ["fettle schema > result.schema.json"],
  });
  answering(command, () => ({ json: resultJsonSchema(), text: `${JSON.stringify(resultJsonSchema(), null, 2)}\n` }));
}
