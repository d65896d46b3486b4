import type { Command } from "commander";
import { UnusableInput } from "../../base/index.ts";
import { CHECKS } from "../../core/checks/index.ts";
import { FAULT_STORIES, WORKSHOP_TESTS } from "../../core/faults/index.ts";
import { answering, describe } from "../book-command.ts";
import { page, wrapped } from "../text.ts";

export function addExplain(program: Command): void {
  const command = describe(program, {
    usage: "explain <id>",
    about: "Explain a check, a fault or a workshop test by its id. Needs no shop book",
    args: { id: "as in spark.patch, air.throttle-overflow, smoke-test" },
    examples: ["fettle explain spark.patch", "fettle explain air.throttle-overflow", "fettle explain smoke-test"],
  });
  answering(command, ([id]) => {
    const found = checkText(id!) ?? faultText(id!) ?? testText(id!);
    if (found === undefined) {
      const near = [...CHECKS, ...FAULT_STORIES, ...WORKSHOP_TESTS].map((each) => each.id).filter((known) => known.includes(id!) || id!.includes(known));
      throw new UnusableInput({
        at: { file: id! },
        what: "No check, fault or workshop test has this id",
        do: near.length === 0 ? "Ids stand in brackets in what inspect and diagnose print" : `Did you mean ${near.join(", ")}`,
      });
    }
    return { json: { id, text: found }, text: page(...found.map((each) => wrapped(each))) };
  });
}

function checkText(id: string): string[] | undefined {
  const check = CHECKS.find((each) => each.id === id);
  return check && [`${check.title} (${check.id}, ${check.severity})`, check.why, `Do: ${check.do}`];
}

function faultText(id: string): string[] | undefined {
  const fault = FAULT_STORIES.find((each) => each.id === id);
  return (
    fault && [
      `${fault.title} (${fault.id})`,
      fault.what,
      `What it moves: ${fault.moves}`,
      ...fault.neighbours.map((each) => `Not ${each.fault}: ${each.tell}`),
      `If ignored: ${fault.cost}`,
    ]
  );
}

function testText(id: string): string[] | undefined {
  const test = WORKSHOP_TESTS.find((each) => each.id === id);
  return (
    test && [
      `${test.title} (${test.id}), about ${test.minutes} min`,
      test.how,
      ...test.cautions.map((each) => `Caution: ${each}`),
      `Outcomes: ${test.outcomes.join("; ")}`,
    ]
  );
}
